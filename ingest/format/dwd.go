package format

import (
	"bytes"
	"fmt"
	"strings"

	"bloomtide/ingest/weather"
)

const dwdPlacesName = "DWD station places"

// dwd is the German weather service's daily KL: semicolons, padded, °C, mm,
// m/s, -999 for missing, a column eor at the end. The quality levels QN say
// how far a value was checked, not that it is bad. Source: DWD, description of
// the KL daily product, from memory, and real files; the long names are those used until about 2016, from memory.
func dwd() layout {
	return layout{
		name: "DWD daily KL", unit: C,
		need: []string{"stationsid", "messdatum"},
		id:   []string{"stationsid"}, date: [][]string{{"messdatum"}}, fixID: fiveDigits,
		columns: []column{
			{element: weather.TMax, names: []string{"txk", "lufttemperaturmaximum"}},
			{element: weather.TMin, names: []string{"tnk", "lufttemperaturminimum"}},
			{element: weather.TMean, names: []string{"tmk", "lufttemperatur"}},
			{element: weather.Rain, names: []string{"rsk", "rs", "niederschlagshoehe"}},
			{element: weather.Wind, names: []string{"fm", "windgeschwindigkeit"}},
		},
	}
}

// dwdHourly is the hourly temperature of the same service; its days of data are
// UTC. Source: DWD, description of the TU hourly product, from memory.
func dwdHourly() layout {
	return layout{
		name: "DWD hourly temperature", unit: C, hourly: true,
		need: []string{"stationsid", "messdatum", "tttu"},
		id:   []string{"stationsid"}, date: [][]string{{"messdatum"}}, fixID: fiveDigits,
		columns: []column{{element: weather.TMean, names: []string{"tttu"}}},
	}
}

// fiveDigits writes a station number as DWD's file names do.
func fiveDigits(b []byte) string {
	id := text(b)
	if len(id) < 5 {
		id = strings.Repeat("0", 5-len(id)) + id
	}
	return id
}

// dwdPlaces reads the list of a station's places that comes in the zip, the
// last of which is where it stands now. It holds no readings.
type dwdPlaces struct{ fields [][]byte }

func isDWDPlaces(line []byte) bool {
	f := split(nil, bytes.Clone(line), ';')
	h := headings(f)
	return find(h, []string{"stationshoehe"}) == 1 && len(f) >= 7
}

func (d *dwdPlaces) row(line []byte, s *sink) {
	if len(trim(line)) == 0 || isDWDPlaces(line) {
		return
	}
	d.fields = split(d.fields[:0], line, ';')
	f := d.fields
	if len(f) < 7 {
		s.fault(0, line, fmt.Sprintf("%d fields where a place has 7", len(f)), "the line is torn")
		return
	}
	site := unknownSite(fiveDigits(trim(f[0])))
	site.Name = text(trim(f[6]))
	elev, okElev := number(trim(f[1]), '.')
	lat, okLat := number(trim(f[2]), '.')
	lon, okLon := number(trim(f[3]), '.')
	if !okElev || !okLat || !okLon {
		s.fault(0, line, fmt.Sprintf("no height and position: %q", clip(line)), "the line is torn")
		return
	}
	place(&site, lat, lon)
	height(&site, elev)
	s.book.replace(site)
}

func (*dwdPlaces) end(*sink) {}
