package phenology

import (
	"math"

	"bloomtide/ingest/weather"
)

// Counter counts degree days like Clock.Sums, for many clocks at a time, and
// remembers the sines that it has met: daily extremes are kept in tenths of a
// degree, so that the same few thousand days come again and again in every year
// and under every threshold. The zero value is ready. A Counter is for one
// goroutine.
type Counter struct {
	sine []float64 // by range and depth in tenths of a kelvin; 0: not met yet
	days []tenthsDay
}

// tenthsDay is a day in tenths of a degree.
type tenthsDay struct {
	lo, hi int32
	row    int32 // where the sines of its range begin; −1: no whole tenths, or too wide
}

// widest is the greatest daily range that a Counter remembers, tenths of a
// kelvin: hardly any place on earth has days of more than 40 K (from memory).
const widest = 400

// perDegree is the resolution of the record: agencies publish tenths.
const perDegree = 10

// inTenths returns a temperature as a whole number of tenths; ok is false where
// it is not one to within rounding.
func inTenths(t float64) (n int32, ok bool) {
	const far = 1e6 // beyond any temperature, and inside an int32
	if !(math.Abs(t) < far) {
		return 0, false
	}
	r := math.Floor(t*perDegree + 0.5)
	off := t*perDegree - r
	return int32(r), off < 1e-9 && off > -1e-9
}

// Sums counts the degree days of every day of a season on each clock, °C·d: the
// sums differ from those of Clock.Sums by no more than the rounding of a
// double.
func (c *Counter) Sums(clocks []Clock, s Season) []Sums {
	out := make([]Sums, len(clocks))
	c.days = c.days[:0]
	for i, clock := range clocks {
		l, ok := inTenths(float64(clock.Thresholds.Lower))
		if clock.Method != (Method{}) || clock.Light != (Light{}) || clock.Thresholds.capped() || !ok {
			out[i] = clock.Sums(s) // averages need no memory, the others are rare
			continue
		}
		if len(c.days) == 0 {
			c.read(s)
		}
		out[i] = Sums{start: s.Start, latDeg: s.LatDeg, total: c.count(s, l)}
	}
	return out
}

// read brings the season into tenths.
func (c *Counter) read(s Season) {
	if c.sine == nil {
		c.sine = make([]float64, rowOf(widest+1))
	}
	for i, t := range s.Min {
		lo, ok := inTenths(float64(t))
		hi, ok2 := inTenths(float64(s.Max[i]))
		d := tenthsDay{lo, hi, -1}
		if ok && ok2 && lo <= hi && hi-lo <= widest {
			d.row = rowOf(hi - lo)
		}
		c.days = append(c.days, d)
	}
}

// rowOf returns where the sines of a range begin: each range has one for every
// tenth up to the half of it.
func rowOf(wide int32) int32 { return (wide + 1) * (wide + 1) / 4 }

// count sums the season above a threshold in tenths.
func (c *Counter) count(s Season, l int32) []DegreeDays {
	total := make([]DegreeDays, len(c.days)+1)
	sum, t := 0.0, float64(l)/perDegree
	for i, d := range c.days {
		switch {
		case d.row < 0:
			sum += float64(Method{}.Heat(s.Extremes(i), Thresholds{Lower: weather.Celsius(t), Upper: weather.Celsius(t)}))
		case d.hi <= l:
		case d.lo >= l:
			sum += float64(d.hi+d.lo-2*l) / (2 * perDegree)
		default:
			sum += c.crossing(d, l)
		}
		total[i+1] = DegreeDays(sum)
	}
	return total
}

// crossing is aboveSine of a day that crosses the threshold. It hangs on the
// day's range and on how deep the threshold lies under its maximum alone; in
// the upper half of the day the excess above t is that below t, less the mean's
// distance: above(A−u) = u + above(A+u).
func (c *Counter) crossing(d tenthsDay, l int32) float64 {
	wide, deep := d.hi-d.lo, d.hi-l // 0 < deep < wide
	over := 2*deep - wide           // twice the mean's distance above t
	if over > 0 {
		deep = wide - deep
	}
	at := d.row + deep
	if c.sine[at] == 0 {
		c.sine[at] = aboveSine(float64(deep-wide)/perDegree, float64(deep)/perDegree, 0)
	}
	return float64(max(over, 0))/(2*perDegree) + c.sine[at]
}

// Extend returns the sums of a season that has grown at its end: only days that
// s does not have yet are counted, and its last one again for the methods that
// look at tomorrow. The season must start where s does and agree with it. As with
// append, s itself must not be used afterwards.
func (c Clock) Extend(s Sums, longer Season) Sums {
	from := max(len(s.total)-1, 0)
	if c.Method.Double && from > 0 {
		from--
	}
	if len(s.total) == 0 || s.start != longer.Start || from > longer.Len() {
		return c.Sums(longer)
	}
	total := s.total[:from+1]
	for i := from; i < longer.Len(); i++ {
		total = append(total, total[i]+c.heat(longer, i))
	}
	return Sums{start: s.start, latDeg: s.latDeg, total: total}
}
