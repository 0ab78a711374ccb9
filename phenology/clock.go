package phenology

import (
	"sort"

	"bloomtide/ingest/weather"
)

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
	from, to := int(max(biofix, s.start)-s.start), int(min(limit, s.end())-s.start)
	if from >= to {
		return 0, false
	}
	i := sort.Search(to-from, func(i int) bool { return s.total[from+i+1] >= goal })
	return s.start + weather.Date(from+i), from+i < to
}
