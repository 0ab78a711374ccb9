package format

import (
	"bytes"
	"fmt"
	"strings"
)

// Names of the columns of tables of stations, as key makes them. MeteoSwiss's
// are read in a real file; ECA&D's, BOM's and the rest are from memory.
var (
	placeIDs   = []string{"stationabbr", "stationlocation", "natabbr", "staid", "stationsid", "stationid", "stationnumber", "station", "site", "stn", "id"}
	placeNames = []string{"staname", "stationname", "stationsname", "sitename", "name", "station"}
	placeLats  = []string{"stationcoordinateswgs84lat", "latitude", "lat", "latitudedeg", "geobreite"}
	placeLons  = []string{"stationcoordinateswgs84lon", "longitude", "lon", "long", "lng", "longitudedeg", "geolaenge"}
	placeElevs = []string{"stationheightmasl", "stationheightmasealevel", "elevation", "elevationm", "elev", "hght", "stationshoehe", "altitude", "alt", "staheight", "height", "heightm"}
)

// placesTable reads a table with a header of station, latitude and longitude:
// delimited, or in columns under a ruler of dashes as BOM prints them.
type placesTable struct {
	delim                   byte     // 0: by ruler
	ruler                   [][2]int // first and last byte of each column
	id, name, lat, lon, elv int
	cut                     [][]byte
}

// tableOfPlaces looks for such a header; at is its line.
func tableOfPlaces(text [][]byte) (t *placesTable, at int) {
	for at, line := range text[:min(len(text), preambleLines)] {
		for _, delim := range delimiters {
			if t := boundPlaces(split(nil, bytes.Clone(line), delim)); t != nil {
				t.delim = delim
				return t, at
			}
		}
		if at+1 < len(text) {
			if r := rulerOf(text[at+1]); len(r) > 2 {
				if t := boundPlaces(ruled(nil, line, r)); t != nil {
					t.ruler = r
					return t, at
				}
			}
		}
	}
	return nil, 0
}

// boundPlaces finds the columns; nil where this is no header of stations.
func boundPlaces(fields [][]byte) *placesTable {
	if len(fields) < 3 {
		return nil
	}
	h := headings(fields)
	t := &placesTable{id: find(h, placeIDs), lat: find(h, placeLats), lon: find(h, placeLons), elv: find(h, placeElevs)}
	t.name = find(h, placeNames)
	if t.name == t.id {
		t.name = -1
	}
	if t.id < 0 || t.lat < 0 || t.lon < 0 || find(h, dateNames) >= 0 {
		return nil
	}
	return t
}

// rulerOf returns the columns that a line of dashes rules, nil for another line.
func rulerOf(line []byte) (out [][2]int) {
	if len(line) == 0 || len(bytes.Trim(line, "- ")) > 0 {
		return nil
	}
	for i := 0; i < len(line); i++ {
		if line[i] != '-' {
			continue
		}
		from := i
		for i < len(line) && line[i] == '-' {
			i++
		}
		out = append(out, [2]int{from, i})
	}
	return out
}

// ruled cuts a line at a ruler.
func ruled(dst [][]byte, line []byte, ruler [][2]int) [][]byte {
	for _, r := range ruler {
		dst = append(dst, trim(line[min(r[0], len(line)):min(r[1], len(line))]))
	}
	return dst
}

func (t *placesTable) row(line []byte, s *sink) {
	if len(trim(line)) == 0 || t.delim == 0 && len(bytes.Trim(line, "- ")) == 0 {
		return
	}
	if t.delim == 0 {
		t.cut = ruled(t.cut[:0], line, t.ruler)
	} else {
		t.cut = split(t.cut[:0], line, t.delim)
	}
	if len(t.cut) <= max(t.id, t.lat, t.lon) {
		s.fault(0, line, fmt.Sprintf("%d columns where a station needs %d", len(t.cut), max(t.id, t.lat, t.lon)+1), "the line is torn")
		return
	}
	lat, okLat := degrees(trim(t.cut[t.lat]))
	lon, okLon := degrees(trim(t.cut[t.lon]))
	id := text(trim(t.cut[t.id]))
	if !okLat || !okLon || id == "" {
		s.fault(t.lat+1, t.cut[t.lat], fmt.Sprintf("no station with a position: %q", clip(line)), "leave the line out, or write degrees such as 47.54")
		return
	}
	site := unknownSite(id)
	place(&site, lat, lon)
	if t.elv >= 0 && t.elv < len(t.cut) {
		if e, ok := number(trim(t.cut[t.elv]), '.'); ok {
			height(&site, e)
		}
	}
	if t.name >= 0 && t.name < len(t.cut) {
		site.Name = text(trim(t.cut[t.name]))
	}
	s.book.add(site)
}

func (*placesTable) end(*sink) {}

// degrees reads 47.54, and degrees, minutes and seconds as ECA&D writes them:
// +47:32:36.
func degrees(b []byte) (float64, bool) {
	if bytes.IndexByte(b, ':') < 0 {
		return number(b, '.')
	}
	parts := strings.Split(string(b), ":")
	if len(parts) > 3 {
		return 0, false
	}
	sum, part := 0.0, 1.0
	for i, p := range parts {
		v, ok := number([]byte(strings.TrimLeft(p, "+-")), '.')
		if !ok || i > 0 && (v < 0 || v >= 60) || i > 0 && strings.ContainsAny(p, "+-") {
			return 0, false
		}
		sum += v / part
		part *= 60
	}
	if parts[0] != "" && parts[0][0] == '-' {
		sum = -sum
	}
	return sum, true
}
