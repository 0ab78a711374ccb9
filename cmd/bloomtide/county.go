package main

import (
	"fmt"
	"math"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest/county"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb/geo"
)

// inCounty puts a point inside the county that the settings name where they
// give no latitude, and returns what should be said about it.
func inCounty(s config.Settings) (config.Settings, []string, error) {
	if s.County == "" || !math.IsNaN(s.Lat) {
		return s, nil, nil
	}
	atlas, err := county.Load()
	if err != nil {
		return s, nil, err
	}
	c, err := atlas.Find(s.County)
	if err != nil {
		return s, nil, &usageError{fmt.Errorf("county: %w", err), "outside the United States give --lat and --lon"}
	}
	centre := c.Outline.Centre()
	s.Lon, s.Lat = centre.Lon(), centre.Lat()
	if s.Place == "" {
		s.Place = c.String()
	}
	if c.Note != "" {
		return s, []string{c.Note}, nil
	}
	return s, nil, nil
}

// How far a station may stand from the place before the plan warns. Our own
// choices: by Hopkins's rule (from memory) bloom moves 4 days with each 122 m
// of height, and spring weather seldom differs by days within 50 km on a plain.
const (
	farKm   = 50
	highM   = 120
	daysPer = 4.0 / 122 // days of bloom for each metre of height
)

// distant says where the station stands too far or too high to speak for the
// place.
func distant(place weather.Site, sources []weather.Site, u report.Units) []string {
	var out []string
	for _, s := range sources {
		if !s.Located() || !place.Located() {
			continue
		}
		if km := geo.Distance(s.Point, place.Point) / 1000; km > farKm {
			out = append(out, fmt.Sprintf("the station %s stands %s from the place: its weather may not be yours", s.ID, u.Distance(km)))
		}
		if rise := s.ElevM - place.ElevM; math.Abs(rise) > highM {
			when := "earlier"
			if rise > 0 {
				when = "later"
			}
			out = append(out, fmt.Sprintf("the station %s stands %s than the place: bloom there is about %.0f days %s", s.ID, u.Height(rise), math.Abs(rise)*daysPer, when))
		}
	}
	return out
}
