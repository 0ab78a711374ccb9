package ingest

import (
	"fmt"

	"bloomtide/ingest/weather"
)

// keepMean keeps a daily mean as both extremes of a station beside the real
// one, by the rules of put.
func (c *collector) keepMean(r weather.Reading, file int32) {
	if c.means == nil {
		c.means = map[string]*station{}
	}
	s := c.means[r.Station]
	if s == nil {
		s = &station{id: r.Station}
		c.means[r.Station] = s
	}
	r.Element = weather.TMin
	s.put(r, file)
}

// useMeans gives extremes to the days of a station that have only a daily
// mean. Where the record has extremes on other days they lie half of the
// month's usual range about the mean, else both are the mean. Either way they
// are flagged as estimates, and the note says how many there are.
func (s *station) useMeans(means *station) string {
	if means == nil {
		return ""
	}
	half, known := s.halfRange()
	n := 0
	for i := range means.cells {
		d := means.start + weather.Date(i)
		mean := means.cells[i].day
		if !mean.MinFlags.Usable() {
			continue
		}
		day := &s.at(d).day
		if day.MinFlags.Usable() && day.MaxFlags.Usable() {
			continue
		}
		_, month, _ := d.YMD()
		day.Min, day.Max = mean.Min-half[month], mean.Min+half[month]
		day.MinFlags, day.MaxFlags = weather.Estimated, weather.Estimated
		if !known {
			day.MinFlags, day.MaxFlags = weather.Observed, weather.Observed
		}
		n++
	}
	switch {
	case n == 0:
		return ""
	case !known:
		return fmt.Sprintf("%s has daily means only: each of %d days counts as if it were as warm all day", s.id, n)
	default:
		return fmt.Sprintf("%s has only a daily mean on %d days: their extremes are set half of the month's usual range about it", s.id, n)
	}
}

// halfRange returns half of the mean difference of the extremes by month, K;
// known is false where no day has both.
func (s *station) halfRange() (half [13]weather.Celsius, known bool) {
	var days [13]float64
	for i := range s.cells {
		d := s.cells[i].day
		if !d.Usable() {
			continue
		}
		_, month, _ := (s.start + weather.Date(i)).YMD()
		half[month] += (d.Max - d.Min) / 2
		days[month]++
		half[0] += (d.Max - d.Min) / 2
		days[0]++
	}
	for m := range half {
		if days[m] > 0 {
			half[m] /= weather.Celsius(days[m])
		} else {
			half[m] = half[0] // month 0 is the whole year and comes first
		}
	}
	return half, days[0] > 0
}
