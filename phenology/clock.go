package phenology

import "bloomtide/ingest/weather"

// Clock counts thermal time: a method with its thresholds, weighed by light
// where the plant asks for that. Plants that share a Clock share its sums.
type Clock struct {
	Method     Method
	Thresholds Thresholds
	Light      Light
}

// heat is what day i of a season adds, °C·d.
func (c Clock) heat(s Season, i int) DegreeDays {
	heat := c.Method.Heat(s.Extremes(i), c.Thresholds)
	if c.Light == (Light{}) {
		return heat
	}
	return DegreeDays(c.Light.weigh(float64(heat), s.LatDeg, s.Start+dateOf(i)))
}

// Sums are the degree days of one Season on one Clock: At(d2)−At(d1) is the
// heat of the days d1 up to but not including d2. A day's heat is summed in
// full precision.
type Sums struct {
	start  weather.Date
	latDeg float64
	total  []DegreeDays // total[i]: heat of the first i days
}

// Sums counts the degree days of every day of a season, °C·d.
func (c Clock) Sums(s Season) Sums {
	total := make([]DegreeDays, s.Len()+1)
	for i := range s.Len() {
		total[i+1] = total[i] + c.heat(s, i)
	}
	return Sums{start: s.Start, latDeg: s.LatDeg, total: total}
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

// At returns the heat from the season's start up to but not including d,
// clamped to the days that the season has.
func (s Sums) At(d weather.Date) DegreeDays {
	i := min(max(int(d-s.start), 0), len(s.total)-1)
	return s.total[i]
}

// end returns the day after the last one counted.
func (s Sums) end() weather.Date { return s.start + weather.Date(len(s.total)-1) }

// Reached returns the first day, from the biofix on, by whose end need degree
// days have accumulated; ok is false when the season ends before that.
func (s Sums) Reached(biofix weather.Date, need DegreeDays) (day weather.Date, ok bool) {
	return s.reachedBefore(biofix, s.end(), need)
}

// reachedBefore is Reached among the days before a limit. Heat is never
// negative, so the sums rise and can be searched by halves.
func (s Sums) reachedBefore(biofix, limit weather.Date, need DegreeDays) (day weather.Date, ok bool) {
	goal := s.At(biofix) + need
	lo, hi := int(max(biofix, s.start)-s.start), int(min(limit, s.end())-s.start)
	if lo >= hi {
		return 0, false
	}
	ends := s.total[lo+1 : hi+1] // by the end of each day
	before := 0                  // days by whose end it was less
	for n := len(ends); n > 0; {
		half := (n + 1) / 2
		if ends[before+half-1] < goal {
			before += half
		}
		n -= half
	}
	return s.start + weather.Date(lo+before), before < len(ends)
}
