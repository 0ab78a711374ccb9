package format

import (
	"bytes"

	"bloomtide/ingest/weather"
)

// knmi is the Dutch weather institute's etmgeg file: a long preamble, a header
// after a #, tenths of °C, of mm and of m/s; rain of −1 is less than 0.05 mm.
// Source: the legend in the file itself.
func knmi() layout {
	return layout{
		name: "KNMI daily", unit: TenthsC,
		need: []string{"stn", "yyyymmdd", "tn", "tx"},
		id:   []string{"stn"}, date: [][]string{{"yyyymmdd"}},
		site: knmiSite,
		columns: []column{
			{element: weather.TMax, names: []string{"tx"}},
			{element: weather.TMin, names: []string{"tn"}},
			{element: weather.TMean, names: []string{"tg"}},
			{element: weather.Rain, names: []string{"rh"}, scale: tenth, zero: -1},
			{element: weather.Wind, names: []string{"fg"}, scale: tenth},
		},
	}
}

// knmiSite reads the table of stations that the web form's files carry:
// "# 260   5.180   52.100   1.90   DE BILT", longitude before latitude, from
// memory.
func knmiSite(head [][]byte, p *preface) {
	for _, line := range head {
		f := bytes.Fields(bytes.TrimLeft(line, "# "))
		if len(f) < 5 {
			continue
		}
		id := bytes.TrimRight(f[0], ":")
		n, ok := whole(id)
		lon, okLon := number(f[1], '.')
		lat, okLat := number(f[2], '.')
		elev, okElev := number(f[3], '.')
		if !ok || n < 100 || !okLon || !okLat || !okElev {
			continue
		}
		s := unknownSite(string(id))
		s.Name = text(bytes.Join(f[4:], []byte(" ")))
		place(&s, lat, lon)
		height(&s, elev)
		p.sites[s.ID] = s
	}
}
