package calibrate

import (
	"sort"

	"bloomtide/phenology"
)

// course is how far a stage that counts from the start of the plant year has
// come by the end of each day of one year. Stages that differ in their start
// alone share it: what came before their start is taken off.
type course struct {
	total []float64
	seen  float64 // day of the plant year
}

// before returns what had come together before a day.
func (c course) before(day int) float64 {
	if day <= 0 || len(c.total) == 0 {
		return 0
	}
	return c.total[min(day, len(c.total))-1]
}

// needAt returns what a stage with a start had come to at noon of a day.
func (c course) needAt(start int, day float64) float64 {
	return max(0, phenology.NeedAt(c.total, day)-c.before(start))
}

// misses writes predicted minus seen, days, for needs that rise.
func (c course) misses(start int, needs, out []float64) {
	base := c.before(start)
	i := sort.SearchFloat64s(c.total, needs[0]+base)
	for k, need := range needs {
		goal := need + base
		for i < len(c.total) && c.total[i] < goal {
			i++
		}
		if i == len(c.total) {
			out[k] = unreached
			continue
		}
		before := c.before(i)
		share := 1.0
		if step := c.total[i] - before; step > 0 {
			share = (goal - before) / step
		}
		out[k] = float64(i) + share - 0.5 - c.seen
	}
}

// miss is predicted minus seen of one stage, days.
func (c course) miss(g phenology.Stage) float64 {
	var out [1]float64
	c.misses(g.Start, []float64{g.Need}, out[:])
	return out[0]
}

// center returns what the years had come to at noon of the day each was seen,
// and half a day's worth of it, in the mean.
func center(years []course, start func(i int) int) (need, step float64) {
	n := float64(len(years))
	for i, c := range years {
		s := start(i)
		need += c.needAt(s, c.seen) / n
		step += (c.needAt(s, c.seen+1) - c.needAt(s, c.seen-1)) / 4 / n
	}
	return need, step
}

// around returns the needs tried, rising: half a day apart on either side.
func around(need, step float64) []float64 {
	var out []float64
	for k := -needsTried; k <= needsTried; k++ {
		if v := need + float64(k)*step; v > 0 {
			out = append(out, v)
		}
	}
	return out
}
