package format

import (
	"bytes"
	"fmt"

	"bloomtide/ingest/weather"
)

// openMeteoDaily is the CSV of Open-Meteo's daily values: a block of metadata,
// a blank line, a header with the unit of each column. Source: real files.
func openMeteoDaily() layout {
	return layout{
		name: "Open-Meteo daily CSV", guess: plain,
		need: []string{"time", "temperature2mmax", "temperature2mmin"},
		id:   []string{"locationid"}, date: [][]string{{"time"}}, site: openMeteoSites, local: true, unix: true,
		columns: []column{
			{element: weather.TMax, names: []string{"temperature2mmax"}},
			{element: weather.TMin, names: []string{"temperature2mmin"}},
			{element: weather.TMean, names: []string{"temperature2mmean"}},
			{element: weather.Rain, names: []string{"precipitationsum", "rainsum"}},
			{element: weather.Wind, names: []string{"windspeed10mmean"}},
		},
	}
}

// openMeteoHourly is the same by the hour; the days are made here.
func openMeteoHourly() layout {
	return layout{
		name: "Open-Meteo hourly CSV", guess: plain, hourly: true,
		need: []string{"time", "temperature2m"},
		id:   []string{"locationid"}, date: [][]string{{"time"}}, site: openMeteoSites, local: true, unix: true,
		columns: []column{
			{element: weather.TMean, names: []string{"temperature2m"}},
			{element: weather.Rain, names: []string{"precipitation", "rain"}},
		},
	}
}

// openMeteoSites reads the metadata block: a header and one line a location.
func openMeteoSites(head [][]byte, p *preface) {
	var h []heading
	for _, line := range head {
		f := split(nil, bytes.Clone(line), ',')
		if len(f) < 3 {
			continue
		}
		if h == nil {
			h = headings(f)
			continue
		}
		cell := func(name string) (float64, bool) {
			i := find(h, []string{name})
			if i < 0 || i >= len(f) {
				return 0, false
			}
			return number(trim(f[i]), '.')
		}
		lat, okLat := cell("latitude")
		lon, okLon := cell("longitude")
		if !okLat || !okLon {
			continue
		}
		s := unknownSite(fmt.Sprintf("Open-Meteo %.4f,%.4f", lat, lon))
		s.Name = s.ID
		place(&s, lat, lon)
		if elev, ok := cell("elevation"); ok {
			height(&s, elev)
		}
		if sec, ok := cell("utcoffsetseconds"); ok {
			p.offsetSec = int(sec)
		}
		p.add(h, f, s)
	}
}

// add keeps a location under the file's own number for it, or as the only one.
func (p *preface) add(h []heading, f [][]byte, s weather.Site) {
	i := find(h, []string{"locationid"})
	if i < 0 || i >= len(f) {
		p.site = s
		return
	}
	p.sites[string(trim(f[i]))] = s
}
