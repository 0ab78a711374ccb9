package format

import (
	"bytes"
	"fmt"

	"bloomtide/ingest/weather"
)

// Names of the layouts of NOAA's GHCN-Daily. Source: its readme.txt (Menne et
// al. 2012, J. Atmos. Oceanic Technol. 29, 897-910; layout from memory and from
// real files).
const (
	stationName     = "GHCN-Daily by-station CSV"
	byYearName      = "GHCN-Daily by-year CSV"
	dlyName         = "GHCN-Daily fixed width (.dly)"
	stationListName = "GHCN-Daily station list"
)

// ghcnStation is one file a station with every element a column: tenths of °C
// and of mm, padded, each with a cell "measurement,quality,source" beside it.
func ghcnStation() layout {
	return layout{
		name: stationName, guess: stationCSV,
		need:    []string{"station", "date", "latitude", "longitude", "elevation", "name"},
		ordered: []string{"station", "date", "latitude", "name"},
		id:      []string{"station"}, label: []string{"name"},
		lat: []string{"latitude"}, lon: []string{"longitude"}, elev: []string{"elevation"},
		date: [][]string{{"date"}},
		columns: []column{
			{element: weather.TMax, names: []string{"tmax"}, flag: "tmaxattributes", reject: secondPart},
			{element: weather.TMin, names: []string{"tmin"}, flag: "tminattributes", reject: secondPart},
			{element: weather.TMean, names: []string{"tavg"}, flag: "tavgattributes", reject: secondPart},
			{element: weather.Rain, names: []string{"prcp"}, scale: tenth, flag: "prcpattributes", reject: secondPart},
			{element: weather.Wind, names: []string{"awnd"}, scale: tenth, flag: "awndattributes", reject: secondPart},
		},
	}
}

// secondPart reports whether the quality flag in "m,q,s" is set: any letter
// there says that the value failed a check.
func secondPart(b []byte) bool {
	i := bytes.IndexByte(b, ',')
	if i < 0 || i+1 >= len(b) {
		return false
	}
	return b[i+1] != ',' && b[i+1] != ' '
}

// ghcnColumn returns the column of a four-letter element, nil for one that is
// not kept.
func ghcnColumn(cols []bound, name []byte) *bound {
	switch string(name) {
	case "TMAX":
		return &cols[0]
	case "TMIN":
		return &cols[1]
	case "TAVG":
		return &cols[2]
	case "PRCP":
		return &cols[3]
	case "AWND":
		return &cols[4]
	}
	return nil
}

// ghcnColumns are the elements of the long and the fixed layout, whose values
// are tenths and stand in field at.
func ghcnColumns(at int) []bound {
	var out []bound
	for _, e := range []weather.Element{weather.TMax, weather.TMin, weather.TMean, weather.Rain, weather.Wind} {
		out = append(out, bound{column: column{element: e}, at: at, flagAt: -1, unit: TenthsC, scale: tenth})
	}
	return out
}

// stationKey remembers the last station, so that its name is made once.
type stationKey struct {
	raw  []byte
	name string
}

func (k *stationKey) of(b []byte, s *sink) string {
	if k.name != "" && bytes.Equal(b, k.raw) {
		return k.name
	}
	k.raw = append(k.raw[:0], b...)
	k.name = text(trim(b))
	if !s.book.has(k.name) {
		s.book.add(unknownSite(k.name))
	}
	return k.name
}

// byYear reads ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,TIME.
type byYear struct {
	columns []bound
	key     stationKey
	fields  [][]byte
}

func newByYear() *byYear { return &byYear{columns: ghcnColumns(3)} }

func isByYear(line []byte) bool {
	f := split(nil, bytes.Clone(line), ',')
	if len(f) < 7 || len(f) > 8 || !isID(f[0]) || len(f[2]) != 4 {
		return false
	}
	if len(f[1]) == len("2006-01-02") {
		return parseStamp(f[1], orderUnknown).problem == ""
	}
	_, ok := whole(f[1])
	return ok && len(f[1]) == len("20060102")
}

// isByYearHeader reports whether a line names the fields, as the copies in the
// cloud have it: ID,DATE,ELEMENT,DATA_VALUE,… (from memory).
func isByYearHeader(line []byte) bool {
	h := headings(split(nil, bytes.Clone(line), ','))
	return len(h) >= 7 && len(h) <= 8 && find(h, []string{"id", "station", "stationid"}) == 0 && h[1].key == "date" && h[2].key == "element"
}

// isID reports whether b has the shape of a GHCN-Daily identifier: eleven
// letters and digits, the first two of them capitals.
func isID(b []byte) bool {
	if len(b) != 11 {
		return false
	}
	for i, c := range b {
		letter := c >= 'A' && c <= 'Z'
		later := c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c == '_' || c == '-'
		if !letter && (i < 2 || !later) {
			return false
		}
	}
	return true
}

func (y *byYear) row(line []byte, s *sink) {
	if len(line) == 0 || bytes.HasPrefix(line, []byte("ID,")) {
		return
	}
	var c *bound
	if len(line) > 26 && line[11] == ',' && line[20] == ',' && line[25] == ',' { // most lines are of other elements
		c = ghcnColumn(y.columns, line[21:25])
		if c == nil {
			return
		}
	}
	y.fields = split(y.fields[:0], line, ',')
	f := y.fields
	if len(f) > 2 && len(f[2]) != 4 && isByYearHeader(line) {
		return
	}
	if len(f) < 7 || len(f) > 8 || !isID(f[0]) {
		s.fault(0, line, fmt.Sprintf("not a line of station, day, element, value and flags: %q", clip(line)), "the line is torn")
		return
	}
	if c == nil {
		c = ghcnColumn(y.columns, f[2])
	}
	if c == nil {
		return
	}
	at := parseStamp(f[1], orderUnknown)
	if at.problem != "" {
		s.fault(2, f[1], badDate(at.problem, f[1]), dateMend(noSuchDay))
		return
	}
	v, ok := number(f[3], '.')
	if !ok {
		s.fault(4, f[3], fmt.Sprintf("%s is not a number: %q", c.element, clip(f[3])), "the line is torn")
		return
	}
	if v == -9999 {
		return
	}
	rejected := len(trim(f[5])) > 0
	s.add(found{id: y.key.of(f[0], s), date: at.date, c: c, value: v, rejected: rejected})
}

func (*byYear) end(*sink) {}

// The fixed layout: ID 1-11, year 12-15, month 16-17, element 18-21, then 31
// times value (5), measurement, quality and source flag.
const (
	dlyHead = 21
	dlySlot = 8
)

// dly reads one station-month of one element a line.
type dly struct {
	columns []bound
	key     stationKey
}

func newDly() *dly { return &dly{columns: ghcnColumns(4)} }

func isDly(line []byte) bool {
	if len(line) < dlyHead+28*dlySlot-3 || !isID(line[:11]) {
		return false
	}
	_, okY := whole(line[11:15])
	_, okM := whole(line[15:17])
	return okY && okM && bytes.IndexByte(line[:dlyHead], ',') < 0
}

func (d *dly) row(line []byte, s *sink) {
	if len(trim(line)) == 0 {
		return
	}
	if len(line) < dlyHead || !isID(line[:11]) {
		s.fault(0, line, fmt.Sprintf("not a line of station, month, element and days: %q", clip(line)), "the line is torn")
		return
	}
	c := ghcnColumn(d.columns, line[17:21])
	if c == nil {
		return
	}
	y, okY := whole(line[11:15])
	m, okM := whole(line[15:17])
	first, problem := civil(y, m, 1)
	if !okY || !okM || problem != "" {
		s.fault(2, line[11:17], fmt.Sprintf("not a month: %q", clip(line[11:17])), "the line is torn")
		return
	}
	length := weather.DaysIn(y, first.Time().Month())
	id := d.key.of(line[:11], s)
	for day := range length {
		slot := line[min(len(line), dlyHead+day*dlySlot):]
		if len(slot) < 5 {
			s.fault(4+day, line, fmt.Sprintf("the line ends after day %d of %d", day, length), "the line is torn")
			return
		}
		d.slot(slot[:min(len(slot), dlySlot)], found{id: id, date: first + weather.Date(day), c: c}, s)
	}
}

// slot reads one day.
func (d *dly) slot(b []byte, f found, s *sink) {
	cell := trim(b[:5])
	v, ok := number(cell, '.')
	if !ok {
		day := int(f.date.Time().Day())
		s.fault(4+day, cell, fmt.Sprintf("%s of %s is not a number: %q", f.c.element, f.date, clip(cell)), "the line is torn")
		return
	}
	if v == -9999 {
		return
	}
	f.value, f.rejected = v, len(b) > 6 && b[6] != ' '
	s.add(f)
}

func (*dly) end(*sink) {}

// stationList reads the list of stations: ID 1-11, latitude 13-20, longitude
// 22-30, elevation 32-37, name 42-71. It holds no readings.
type stationList struct{}

func isStationList(line []byte) bool {
	if len(line) < 45 || !isID(line[:11]) || line[11] != ' ' {
		return false
	}
	_, okLat := number(trim(line[12:20]), '.')
	_, okLon := number(trim(line[21:30]), '.')
	_, okElev := number(trim(line[31:37]), '.')
	return okLat && okLon && okElev
}

func (*stationList) row(line []byte, s *sink) {
	if len(trim(line)) == 0 {
		return
	}
	if !isStationList(line) {
		s.fault(0, line, fmt.Sprintf("not a line of a station list: %q", clip(line)), "the line is torn")
		return
	}
	site := unknownSite(string(line[:11]))
	lat, _ := number(trim(line[12:20]), '.')
	lon, _ := number(trim(line[21:30]), '.')
	elev, _ := number(trim(line[31:37]), '.')
	place(&site, lat, lon)
	height(&site, elev)
	site.Name = text(trim(line[41:min(len(line), 71)]))
	s.book.add(site)
}

func (*stationList) end(*sink) {}
