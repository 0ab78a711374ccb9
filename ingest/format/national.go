package format

import (
	"bytes"

	"bloomtide/ingest/weather"
)

// meteoFrance is the French weather service's daily file of a department: °C,
// mm, m/s, several stations, a quality code beside each value: 0 and 1 are
// checked, 9 has passed the first filter, 2 is doubtful. Source: the
// description published with the files, from memory.
func meteoFrance() layout {
	col := func(e weather.Element, name string) column {
		return column{element: e, names: []string{name}, flag: "q" + name, reject: func(b []byte) bool { return len(b) == 1 && b[0] == '2' }}
	}
	return layout{
		name: "Météo-France daily", unit: C,
		need: []string{"numposte", "aaaammjj"},
		id:   []string{"numposte"}, label: []string{"nomusuel"},
		lat: []string{"lat"}, lon: []string{"lon"}, elev: []string{"alti"},
		date: [][]string{{"aaaammjj"}},
		columns: []column{
			col(weather.TMax, "tx"), col(weather.TMin, "tn"), col(weather.TMean, "tm"),
			col(weather.Rain, "rr"), col(weather.Wind, "ffm"),
		},
	}
}

// metEireann is the Irish weather service's daily file of a station: days as
// 01-jan-1942, °C, mm, knots; the station stands above. From memory.
func metEireann() layout {
	return layout{
		name: "Met Éireann daily", unit: C,
		need: []string{"date", "maxtp", "mintp"},
		date: [][]string{{"date"}}, site: eireannSite,
		columns: []column{
			{element: weather.TMax, names: []string{"maxtp"}},
			{element: weather.TMin, names: []string{"mintp"}},
			{element: weather.Rain, names: []string{"rain"}},
			{element: weather.Wind, names: []string{"wdsp"}, scale: knot},
		},
	}
}

// eireannSite reads "Station Name: …", "Station Height: 48 M" and "Latitude:53.3
// ,Longitude: -6.3". The file's name is all there is for an identifier.
func eireannSite(head [][]byte, p *preface) {
	for _, line := range head {
		if _, name, ok := bytes.Cut(line, []byte("Station Name:")); ok {
			p.site.Name = text(trim(name))
		}
	}
	lat, okLat := after(head, "Latitude:")
	lon, okLon := after(head, "Longitude:")
	if okLat && okLon {
		place(&p.site, lat, lon)
	}
	if h, ok := after(head, "Station Height:"); ok {
		height(&p.site, h)
	}
}
