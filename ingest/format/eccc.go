package format

import (
	"bytes"
	"math"

	"bloomtide/ingest/weather"
)

const ecccPlaceName = "Environment Canada station metadata"

// eccc is Environment Canada's daily file of one station and year: quoted, °C,
// mm, a flag column beside each value. M is missing and the cell then empty; E
// is estimated by the publisher and kept as its value. Source: the legend of
// the published metadata file, read.
func eccc() layout {
	return layout{
		name: "Environment Canada daily CSV", unit: C,
		need: []string{"datetime", "maxtemp", "mintemp", "maxtempflag"},
		id:   []string{"climateid", "stationname"}, label: []string{"stationname"},
		lat: []string{"latitude"}, lon: []string{"longitude"},
		date: [][]string{{"datetime"}}, site: ecccSite,
		columns: []column{
			{element: weather.TMax, names: []string{"maxtemp"}, flag: "maxtempflag", reject: ecccMissing},
			{element: weather.TMin, names: []string{"mintemp"}, flag: "mintempflag", reject: ecccMissing},
			{element: weather.TMean, names: []string{"meantemp"}, flag: "meantempflag", reject: ecccMissing},
			{element: weather.Rain, names: []string{"totalprecip", "totalrain"}, flag: "totalprecipflag", reject: ecccMissing, trace: true},
		},
	}
}

// ecccFrench is the same with French headings (from memory).
func ecccFrench() layout {
	l := eccc()
	l.name = "Environment Canada daily CSV (French)"
	l.need = []string{"dateheure", "tempmax", "tempmin"}
	l.id, l.label = []string{"idclimatologique"}, []string{"nomdelastation"}
	l.date = [][]string{{"dateheure"}}
	l.columns = []column{
		{element: weather.TMax, names: []string{"tempmax"}},
		{element: weather.TMin, names: []string{"tempmin"}},
		{element: weather.TMean, names: []string{"tempmoy"}},
		{element: weather.Rain, names: []string{"preciptotal", "preciptot", "prciptot"}, trace: true},
	}
	return l
}

// ecccGeo is the same service's newer interface: a column ID that is another
// each day, x and y for the position. From memory.
func ecccGeo() layout {
	l := eccc()
	l.name = "Environment Canada climate-daily CSV"
	l.need = []string{"climateidentifier", "localdate", "maxtemperature", "mintemperature"}
	l.id, l.date, l.site = []string{"climateidentifier"}, [][]string{{"localdate"}}, nil
	l.lat, l.lon = []string{"y", "lat", "latitude"}, []string{"x", "lon", "longitude"}
	for i, name := range []string{"maxtemperature", "mintemperature", "meantemperature", "totalprecipitation"} {
		l.columns[i].names, l.columns[i].flag = []string{name}, name+"flag"
	}
	return l
}

// ecccSite reads the lines that stood above the header until about 2018: a name
// and a value, quoted, in English or French, there with a decimal comma. From
// memory.
func ecccSite(head [][]byte, p *preface) {
	lat, lon := math.NaN(), math.NaN()
	for _, line := range head {
		f := split(nil, bytes.Clone(line), ',')
		if len(f) != 2 {
			continue
		}
		value := trim(f[1])
		v, isNumber := number(bytes.ReplaceAll(value, []byte{','}, []byte{'.'}), '.')
		switch name := key(f[0]); {
		case name == "stationname" || name == "nomdelastation":
			p.site.Name = text(value)
		case name == "climateidentifier" || name == "climateid" || name == "identificateurclimatologique" || name == "idclimatologique":
			p.site.ID = text(value)
		case name == "latitude" && isNumber:
			lat = v
		case name == "longitude" && isNumber:
			lon = v
		case (name == "elevation" || name == "altitude") && isNumber:
			height(&p.site, v)
		}
	}
	place(&p.site, lat, lon)
}

func ecccMissing(flag []byte) bool { return len(flag) == 1 && flag[0] == 'M' }

// ecccPlace reads the metadata text of a station: a name, a tab and a value a
// line. It holds no readings.
type ecccPlace struct {
	site     weather.Site
	begun    bool
	lat, lon float64
}

func isECCCPlace(line []byte) bool { return bytes.HasPrefix(line, []byte("Station Name\t")) }

func (e *ecccPlace) row(line []byte, s *sink) {
	if !e.begun {
		e.site, e.begun = unknownSite(""), true
	}
	name, value, ok := bytes.Cut(line, []byte{'\t'})
	if !ok {
		return
	}
	value = trim(value)
	v, isNumber := number(value, '.')
	switch key(name) {
	case "stationname":
		e.site.Name = text(value)
	case "latitude":
		e.lat = v
	case "longitude":
		e.lon = v
		place(&e.site, e.lat, e.lon)
	case "elevation":
		if isNumber {
			height(&e.site, v)
		}
	case "climateidentifier":
		e.site.ID = text(value)
		s.book.add(e.site)
	}
}

func (*ecccPlace) end(*sink) {}
