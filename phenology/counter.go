package phenology

import (
	"math"
	"slices"
)

// Counter counts degree days like Clock.Sums and predicts like Model.Predict,
// for many clocks and plants of a place at a time: what they share is reckoned
// once, and the sines that it has met it remembers from place to place. The zero
// value is ready. A Counter is for one goroutine.
type Counter struct {
	sines  sines
	days   []tenthsDay
	odd    bool // some day is not in tenths
	half   halfDay
	totals [][]DegreeDays
}

// Sums counts the degree days of every day of a season on each clock, °C·d: the
// sums differ from those of Clock.Sums by no more than the rounding of a
// double. They hold until the Counter is used again, which takes their memory.
func (c *Counter) Sums(clocks []Clock, s Season) []Sums {
	c.read(s)
	return c.sums(clocks, s)
}

// sums are those of the season that was read.
func (c *Counter) sums(clocks []Clock, s Season) []Sums {
	out := make([]Sums, len(clocks))
	lowers, wanted := make([]int32, 0, len(clocks)), make([]int, 0, len(clocks))
	for i, clock := range clocks {
		l, ok := inTenths(float64(clock.Thresholds.Lower))
		if clock.Method != (Method{}) || clock.Light != (Light{}) || clock.Thresholds.capped() || !ok {
			out[i] = clock.Sums(s) // averages need no memory, the others are rare
			continue
		}
		lowers, wanted = append(lowers, l), append(wanted, i)
	}
	for i, total := range c.count(lowers, s) {
		out[wanted[i]] = Sums{start: s.Start, latDeg: s.LatDeg, total: total}
	}
	return out
}

// Blooms predicts each plant in the plant years first to last and hands them to
// use in no order: the blooms are those of Model.Predict.
func (c *Counter) Blooms(plants []Model, s Season, first, last int, use func(plant, year int, b Bloom, ok bool)) {
	clocks, clockOf := shared(plants, func(m Model) Clock { return m.Clock })
	starts, startOf := shared(plants, func(m Model) Biofix { return m.Biofix })
	years := make([][]span, len(starts))
	for i, b := range starts {
		for y := first; y <= last; y++ {
			years[i] = append(years[i], b.span(s.LatDeg, y))
		}
	}
	c.read(s)
	for i := 0; i < len(clocks); i += atOnce {
		sums := c.sums(clocks[i:min(i+atOnce, len(clocks))], s)
		for p := range plants {
			k := clockOf[p] - i
			if k < 0 || k >= len(sums) {
				continue
			}
			for y, year := range years[startOf[p]] {
				b, ok := plants[p].in(year, sums[k])
				use(p, first+y, b, ok)
			}
		}
	}
}

// atOnce is the number of clocks that Blooms counts at a time: as many as
// countTwo does, so that their sums of forty years stay near the processor.
const atOnce = 2

// shared returns what the plants share, each once, with the place of each
// plant's.
func shared[T comparable](plants []Model, part func(Model) T) (each []T, of []int) {
	of = make([]int, len(plants))
	for k, m := range plants {
		p := part(m)
		i := slices.Index(each, p)
		if i < 0 {
			i, each = len(each), append(each, p)
		}
		of[k] = i
	}
	return each, of
}

// read brings the season into tenths, as far as it is in tenths.
func (c *Counter) read(s Season) {
	c.days, c.odd = slices.Grow(c.days[:0], s.Len()), false
	wide := int16(0)
	for i, t := range s.Min {
		d := tenthsOf(float64(t), float64(s.Max[i]))
		if c.odd = d.row < 0; c.odd {
			return
		}
		wide = max(wide, d.wide)
		c.days = append(c.days, d)
	}
	c.sines.reserve(int32(wide))
}

// count sums the season above each of some thresholds in tenths.
func (c *Counter) count(lowers []int32, s Season) [][]DegreeDays {
	for len(c.totals) < len(lowers) {
		c.totals = append(c.totals, nil)
	}
	for i := range lowers {
		c.totals[i] = slices.Grow(c.totals[i][:0], s.Len()+1)[:s.Len()+1]
		c.totals[i][0] = 0
	}
	out := c.totals[:len(lowers)]
	for i := 0; i < len(lowers); i += 2 {
		k := min(i+1, len(lowers)-1)
		if c.odd {
			c.countOdd(s, lowers[i], out[i])
			c.countOdd(s, lowers[k], out[k])
		} else {
			c.countTwo(lowers[i], lowers[k], out[i], out[k])
		}
	}
	return out
}

// countTwo sums for two thresholds in one go, which a processor does almost as
// fast as one: each addition waits for the one before.
func (c *Counter) countTwo(l, l2 int32, out, out2 []DegreeDays) {
	for at := 0; at < len(c.days); {
		at += c.known(c.days[at:], l, l2, out[at:], out2[at:])
		if at < len(c.days) {
			c.sines.learn(c.days[at])
		}
	}
}

// known sums from the first entries of out and out2 on while the heat of the
// days is known, and returns the number of those days.
func (c *Counter) known(days []tenthsDay, l, l2 int32, out, out2 []DegreeDays) int {
	sum, sum2 := float64(out[0]), float64(out2[0])
	out, out2 = out[1:][:len(days)], out2[1:][:len(days)]
	for i, d := range days {
		sum, sum2 = sum+c.sines.heat(d, l), sum2+c.sines.heat(d, l2)
		if math.IsNaN(sum + sum2) {
			return i
		}
		out[i], out2[i] = DegreeDays(sum), DegreeDays(sum2)
	}
	return len(days)
}

// countOdd sums the season where some days are not in tenths.
func (c *Counter) countOdd(s Season, l int32, out []DegreeDays) {
	if c.half.cubics == nil {
		c.half = newHalfDay()
	}
	sum, t := 0.0, float64(l)/perDegree
	for i, n := range s.Min {
		x := s.Max[i]
		if !(n <= x) {
			sum = math.NaN() // as Method.Heat has it
		}
		sum += c.half.above(float64(n), float64(x), t)
		out[i+1] = DegreeDays(sum)
	}
}
