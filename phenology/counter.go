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
	above []float64 // degree days above a threshold by the day's range and by how deep the threshold lies under the maximum, both in tenths of a kelvin
	known []bool    // by range: its degree days stand in above
	days  []tenthsDay
	odd   bool // some day is not in tenths
}

// tenthsDay is a day in tenths of a degree.
type tenthsDay struct {
	hi, wide int32 // maximum and range
	row      int32 // where the degree days of its range begin; −1: no whole tenths, or too wide
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

// read brings the season into tenths, and reckons what ranges of days need that
// were not met before.
func (c *Counter) read(s Season) {
	if c.above == nil {
		c.above, c.known = make([]float64, rowOf(widest+1)), make([]bool, widest+1)
	}
	c.odd = false
	for i, t := range s.Min {
		lo, ok := inTenths(float64(t))
		hi, ok2 := inTenths(float64(s.Max[i]))
		d := tenthsDay{hi, hi - lo, -1}
		if ok && ok2 && lo <= hi && d.wide <= widest {
			d.row = rowOf(d.wide)
			c.learn(d)
		}
		c.odd = c.odd || d.row < 0
		c.days = append(c.days, d)
	}
}

// rowOf returns where a range begins: each has an entry for every tenth from the
// maximum down to the minimum.
func rowOf(wide int32) int32 { return wide * (wide + 1) / 2 }

// learn fills in a range: aboveSine with the threshold so many tenths under the
// maximum. In the upper half of the day the excess above t is that below t, less
// the mean's distance: above(A−u) = u + above(A+u).
func (c *Counter) learn(d tenthsDay) {
	if c.known[d.wide] {
		return
	}
	c.known[d.wide] = true
	row := c.above[d.row : d.row+d.wide+1]
	for deep := range row {
		over := 2*deep - int(d.wide) // twice the mean's distance above t
		if over <= 0 {
			row[deep] = aboveSine(float64(deep-int(d.wide))/perDegree, float64(deep)/perDegree, 0)
			continue
		}
		row[deep] = float64(over)/(2*perDegree) + row[int(d.wide)-deep]
	}
}

// count sums the season above a threshold in tenths. Below its minimum each
// tenth adds itself.
func (c *Counter) count(s Season, l int32) []DegreeDays {
	if c.odd {
		return c.countOdd(s, l)
	}
	total := make([]DegreeDays, len(c.days)+1)
	sum := 0.0
	for i, d := range c.days {
		deep := d.hi - l
		sum += c.above[d.row+min(max(deep, 0), d.wide)] + float64(max(deep-d.wide, 0))/perDegree
		total[i+1] = DegreeDays(sum)
	}
	return total
}

// countOdd is count where some days are not in tenths.
func (c *Counter) countOdd(s Season, l int32) []DegreeDays {
	total := make([]DegreeDays, len(c.days)+1)
	sum, t := 0.0, weather.Celsius(float64(l)/perDegree)
	for i, d := range c.days {
		deep := d.hi - l
		if d.row < 0 {
			sum += float64(Method{}.Heat(s.Extremes(i), Thresholds{Lower: t, Upper: t}))
		} else {
			sum += c.above[d.row+min(max(deep, 0), d.wide)] + float64(max(deep-d.wide, 0))/perDegree
		}
		total[i+1] = DegreeDays(sum)
	}
	return total
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
