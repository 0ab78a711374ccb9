package main

import (
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// firstDay is the first day of a plant year at the place.
func (s *study) firstDay(year int) weather.Date {
	return phenology.YearStart(s.series.Site.LatDeg(), year)
}

// wholeYears are the plant years of the record that have no gap.
func (s *study) wholeYears() []calibrate.Year {
	lat := s.series.Site.LatDeg()
	var out []calibrate.Year
	for y := phenology.YearOf(lat, s.series.Start); s.firstDay(y+1) <= s.series.End(); y++ {
		season, err := calibrate.Window(s.series, s.firstDay(y), s.firstDay(y+1))
		if err == nil {
			out = append(out, calibrate.Year{Year: y, Season: season, Winter: true})
		}
	}
	return out
}
