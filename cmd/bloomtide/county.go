package main

import (
	"cmp"
	"fmt"
	"math"
	"os"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest/areal"
	"bloomtide/ingest/county"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
)

// placed is where the forecast is for.
type placed struct {
	settings config.Settings
	samples  []county.Sample // points that stand for shares of the place; none where it is not known
	notes    []string
}

// samplePoints is how many points stand for a county or an outline. Our own
// choice: a net of about 10 km in a county of usual size.
const samplePoints = 25

// locate finds the place that the settings tell: the county or the outline,
// whose middle gives latitude and longitude where those are left out, else the
// point.
func locate(s config.Settings) (placed, error) {
	p := placed{settings: s}
	o, note, err := outlineOf(s)
	if err != nil {
		return p, err
	}
	if note != "" {
		p.notes = append(p.notes, note)
	}
	if o != nil {
		p.samples = o.Samples(samplePoints)
		if p.settings.Place == "" {
			p.settings.Place = o.Name
		}
		if math.IsNaN(s.Lat) {
			centre := o.Centre()
			p.settings.Lon, p.settings.Lat = centre.Lon(), centre.Lat()
		} else if !o.Contains(orb.Point{s.Lon, s.Lat}) && len(o.Zones) > 0 {
			p.notes = append(p.notes, fmt.Sprintf("the point %.2f, %.2f lies outside of %s: the point is used", s.Lat, s.Lon, cmp.Or(o.Name, "the outline")))
			p.samples = nil
		}
	}
	if p.samples == nil && !math.IsNaN(p.settings.Lat) {
		p.samples = areal.Point(orb.Point{p.settings.Lon, p.settings.Lat}, s.ElevationM)
	}
	return p, nil
}

// inCounty is locate for callers that need only the point.
func inCounty(s config.Settings) (config.Settings, []string, error) {
	p, err := locate(s)
	return p.settings, p.notes, err
}

// outlineOf returns the outline that the settings name, nil for none, with
// what should be said about it.
func outlineOf(s config.Settings) (*county.Outline, string, error) {
	switch {
	case s.Outline != "":
		b, err := os.ReadFile(s.Outline)
		if err != nil {
			return nil, "", &usageError{fmt.Errorf("read the outline: %w", err), "name a GeoJSON file"}
		}
		o, err := county.ReadOutline(b)
		if err != nil {
			return nil, "", &usageError{fmt.Errorf("%s: %w", s.Outline, err), ""}
		}
		o.Name = printable(o.Name)
		return &o, "", nil
	case s.County != "":
		atlas, err := county.Load()
		if err != nil {
			return nil, "", err
		}
		c, err := atlas.Find(s.County)
		if err != nil {
			return nil, "", &usageError{fmt.Errorf("county: %w", err), "outside the United States give --lat and --lon, or --outline"}
		}
		c.Outline.Name = c.String()
		return &c.Outline, c.Note, nil
	}
	return nil, "", nil
}

// How far a station may stand from the place before the plan warns. Our own
// choices: by Hopkins's rule (from memory) bloom moves 4 days with each 122 m
// of height, and spring weather seldom differs by days within 50 km on a plain.
const (
	farKm   = 50
	highM   = 120
	daysPer = 4.0 / 122 // days of bloom for each metre of height
)

// distant says where the stations stand too far to speak for the place.
func distant(place weather.Site, sources []weather.Site, u report.Units) []string {
	var out []string
	for _, s := range sources {
		if !s.Located() || !place.Located() {
			continue
		}
		if km := geo.Distance(s.Point, place.Point) / 1000; km > farKm {
			out = append(out, fmt.Sprintf("the station %s stands %s from the place: its weather may not be yours", s.ID, u.Distance(km)))
		}
	}
	return out
}

// high says where a station whose temperatures are taken as they are stands
// much higher or lower than the place.
func high(place, station weather.Site, u report.Units) []string {
	rise := station.ElevM - place.ElevM
	if !(math.Abs(rise) > highM) {
		return nil
	}
	when := "earlier"
	if rise > 0 {
		when = "later"
	}
	return []string{fmt.Sprintf("the station %s stands %s than the place: bloom there is about %.0f days %s",
		station.ID, u.Height(rise), math.Abs(rise)*daysPer, when)}
}
