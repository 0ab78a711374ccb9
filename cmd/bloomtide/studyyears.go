package main

import (
	"fmt"
	"math"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// firstDay is the first day of a plant year at the place.
func (s *study) firstDay(year int) weather.Date {
	return phenology.YearStart(s.series.Site.LatDeg(), year)
}

// rightHemisphere holds the latitude against the record: away from the tropics
// January is colder than July in the north, warmer in the south.
func rightHemisphere(s weather.Series) error {
	const tropics, clear = 23.4, 3 // degrees; K, our own choice
	var sum, n [13]float64
	for i, d := range s.Days {
		if d.Usable() {
			_, month, _ := (s.Start + weather.Date(i)).YMD()
			sum[month] += float64(d.Min+d.Max) / 2
			n[month]++
		}
	}
	lat := s.Site.LatDeg()
	if n[1] == 0 || n[7] == 0 || math.Abs(lat) < tropics {
		return nil
	}
	colder := sum[7]/n[7] - sum[1]/n[1] // January than July, K
	switch {
	case lat < 0 && colder > clear:
		return &usageError{fmt.Errorf("latitude %g lies south of the equator, but the record is coldest in January", lat), "give --lat without the minus"}
	case lat > 0 && colder < -clear:
		return &usageError{fmt.Errorf("latitude %g lies north of the equator, but the record is coldest in July", lat), fmt.Sprintf("give --lat=-%g", lat)}
	}
	return nil
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
