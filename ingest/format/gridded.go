package format

import (
	"bytes"
	"fmt"
	"strings"

	"bloomtide/ingest/weather"
)

// daymet is the single-pixel file of Daymet: every year has 365 days, 31
// December being left out of leap years. Source: Thornton et al.,
// doi:10.3334/ORNLDAAC/1840, and real files.
func daymet() layout {
	return layout{
		name: "Daymet single pixel", unit: C, year: 365,
		need: []string{"year", "yday", "tmax", "tmin"},
		date: [][]string{{"year"}, {"yday"}}, site: daymetSite,
		note: "Daymet has no 31 December in leap years: that day is missing here",
		columns: []column{
			{element: weather.TMax, names: []string{"tmax"}},
			{element: weather.TMin, names: []string{"tmin"}},
			{element: weather.Rain, names: []string{"prcp"}},
		},
	}
}

func daymetSite(head [][]byte, p *preface) {
	pixel(head, p, "Daymet", []string{"Latitude:", "Longitude:", "Elevation:"})
}

// nasaPower is the daily point file of NASA's POWER project. Source: the
// header of the file itself.
func nasaPower() layout {
	return layout{
		name: "NASA POWER daily", unit: C,
		need: []string{"year", "mo", "dy"},
		lat:  []string{"lat"}, lon: []string{"lon"},
		date: [][]string{{"year"}, {"mo"}, {"dy"}}, site: powerSite,
		columns: []column{
			{element: weather.TMax, names: []string{"t2mmax"}},
			{element: weather.TMin, names: []string{"t2mmin"}},
			{element: weather.TMean, names: []string{"t2m"}},
			{element: weather.Rain, names: []string{"prectotcorr", "prectot"}},
			{element: weather.Wind, names: []string{"ws2m", "ws10m"}},
		},
	}
}

// nasaPowerDOY is the same with a day of the year.
func nasaPowerDOY() layout {
	l := nasaPower()
	l.need = []string{"year", "doy"}
	l.date = [][]string{{"year"}, {"doy"}}
	return l
}

// powerSite also takes the units from the list of parameters, "T2M_MAX  MERRA-2
// Temperature at 2 Meters Maximum (C)": the service gives °F and inches, too,
// where it is asked to (from memory).
func powerSite(head [][]byte, p *preface) {
	for _, line := range head {
		name, rest, ok := bytes.Cut(line, []byte{' '})
		i := bytes.LastIndexByte(rest, '(')
		if !ok || i < 0 {
			continue
		}
		if p.units == nil {
			p.units = map[string]string{}
		}
		p.units[key(name)] = strings.TrimSuffix(key(rest[i:]), "day")
	}
	pixel(head, p, "POWER", []string{"Location: latitude", " longitude", "region ="})
}

// prism is the time series of a PRISM point, or of several with name and place
// in columns; its units stand in the header.
// Source: the file's published form, from memory.
func prism() layout {
	return layout{
		name: "PRISM point", guess: plain,
		need:  []string{"date"},
		title: "PRISM Time Series Data",
		label: []string{"name"}, lat: []string{"latitude"}, lon: []string{"longitude"}, elev: []string{"elevation"},
		date: [][]string{{"date"}}, site: prismSite,
		columns: []column{
			{element: weather.TMax, names: []string{"tmax"}},
			{element: weather.TMin, names: []string{"tmin"}},
			{element: weather.TMean, names: []string{"tmean"}},
			{element: weather.Rain, names: []string{"ppt"}},
		},
	}
}

func prismSite(head [][]byte, p *preface) {
	pixel(head, p, "PRISM", []string{"Lat:", "Lon:", "Elev:"})
}

// pixel reads latitude, longitude and elevation after the three given words,
// and makes an identifier of them.
func pixel(head [][]byte, p *preface, publisher string, words []string) {
	lat, okLat := after(head, words[0])
	lon, okLon := after(head, words[1])
	if !okLat || !okLon {
		return
	}
	place(&p.site, lat, lon)
	p.site.ID = fmt.Sprintf("%s %.4f,%.4f", publisher, lat, lon)
	p.site.Name = p.site.ID
	if elev, ok := after(head, words[2]); ok {
		if feet(head, words[2]) {
			elev *= 0.3048 // exact
		}
		height(&p.site, elev)
	}
}

// after reads the number that follows a word in a preamble.
func after(head [][]byte, word string) (v float64, ok bool) {
	for _, line := range head {
		i := bytes.Index(lower(line), lower([]byte(word)))
		if i < 0 {
			continue
		}
		rest := bytes.TrimLeft(line[i+len(word):], " :=")
		n := 0
		for n < len(rest) && (rest[n] >= '0' && rest[n] <= '9' || rest[n] == '-' || rest[n] == '.') {
			n++
		}
		if v, ok = number(rest[:n], '.'); ok {
			return v, true
		}
	}
	return 0, false
}

// lower is a text with small letters for A to Z and all else as it was, of the
// same length: what bytes.ToLower makes of octets that are no UTF-8 is longer.
func lower(b []byte) []byte {
	out := bytes.Clone(b)
	for i, c := range out {
		if c >= 'A' && c <= 'Z' {
			out[i] = c | 0x20
		}
	}
	return out
}

// feet reports whether the number after a word is followed by ft.
func feet(head [][]byte, word string) bool {
	for _, line := range head {
		if _, rest, ok := bytes.Cut(line, []byte(word)); ok {
			rest = bytes.TrimLeft(rest, " -.0123456789")
			return bytes.HasPrefix(rest, []byte("ft"))
		}
	}
	return false
}
