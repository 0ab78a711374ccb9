package format

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"bloomtide/ingest/weather"
)

// Names of the lists of stations that are read for positions.
const (
	inventoryName  = "GHCN-Daily inventory"
	dwdListName    = "DWD station list"
	spacedName     = "station list in columns"
	placesName     = "table of stations"
	placesMostHead = 4 << 10 // bytes that LooksLikePlaces needs
)

// Places reads a list of stations, or the details of one, which holds
// positions and no temperatures; false where r holds anything else. Read are
// GHCN-Daily's list and inventory, DWD's list and Metadaten_Geographie,
// MeteoSwiss's and ECA&D's tables, KNMI's and BOM's lists, BOM's notes, Environment
// Canada's metadata, and any table with a header of station, latitude and longitude.
// Positions are in degrees, heights in metres.
func Places(r io.Reader, name string) ([]weather.Site, bool) {
	f, err := Open(r, Options{Name: name})
	if err != nil || len(f.rest) > 0 {
		return nil, false
	}
	for _, s := range f.queue {
		if s.data {
			return nil, false
		}
	}
	for _, err := range f.Readings() {
		if _, ended := err.(*FileError); ended {
			return nil, false
		}
	}
	return f.Sites(), true
}

// LooksLikePlaces reports whether the first 4 KiB of a file may begin a list of
// stations. It is quick and errs to yes.
func LooksLikePlaces(head []byte) bool {
	head = head[:min(len(head), placesMostHead)]
	if bytes.HasPrefix(head, []byte(`"STATION","DATE"`)) || bytes.HasPrefix(head, []byte("STATION,DATE")) {
		return false
	}
	first, _, _ := bytes.Cut(head, []byte{'\n'})
	low := bytes.ToLower(head)
	has := func(words ...string) bool {
		for _, w := range words {
			if bytes.Contains(low, []byte(w)) {
				return true
			}
		}
		return false
	}
	return isStationList(first) || isInventory(first) || has("lat", "geobreite", "geogr.breite") && has("lon", "geolaenge", "geogr.laenge")
}

// HoldsPlaces reports whether a layout is one of Places, without temperatures.
func HoldsPlaces(layout string) bool {
	switch layout {
	case stationListName, inventoryName, dwdListName, dwdPlacesName, spacedName, placesName, ecccPlaceName, bomNoteName:
		return true
	}
	return false
}

// PlaceFile names the file that tells where the stations of a layout stand,
// "" where the layout tells it by itself. From the publishers' folders, from
// memory.
func PlaceFile(layout string) string {
	switch layout {
	case dlyName, byYearName, "NOAA web export":
		return "NOAA's ghcnd-stations.txt"
	case "DWD daily KL", "DWD hourly temperature":
		return "DWD's KL_Tageswerte_Beschreibung_Stationen.txt"
	case "KNMI daily":
		return "KNMI's list of stations (STN, LON, LAT, ALT, NAME)"
	case "MeteoSwiss daily", "MeteoSwiss open data daily":
		return "MeteoSwiss's ogd-nbcn_meta_stations.csv"
	case "ECA&D daily":
		return "ECA&D's stations.txt"
	case "BOM daily maximum", "BOM daily minimum", "BOM daily rain":
		return "BOM's stations.txt or the note that came with the file"
	}
	return ""
}

// inventory reads the list of what GHCN-Daily has of each station and element:
// ID 1-11, latitude 13-20, longitude 22-30, element 32-35, years.
type inventory struct{}

func isInventory(line []byte) bool {
	if len(line) < 45 || !isID(line[:11]) || line[11] != ' ' || line[30] != ' ' || line[35] != ' ' {
		return false
	}
	_, okLat := number(trim(line[12:20]), '.')
	_, okLon := number(trim(line[21:30]), '.')
	_, okYear := whole(line[36:40])
	return okLat && okLon && okYear
}

func (inventory) row(line []byte, s *sink) {
	if len(trim(line)) == 0 {
		return
	}
	if !isInventory(line) {
		s.fault(0, line, fmt.Sprintf("not a line of an inventory: %q", clip(line)), "the line is torn")
		return
	}
	if id := string(line[:11]); !s.book.has(id) {
		site := unknownSite(id)
		lat, _ := number(trim(line[12:20]), '.')
		lon, _ := number(trim(line[21:30]), '.')
		place(&site, lat, lon)
		s.book.add(site)
	}
}

func (inventory) end(*sink) {}

// spaced reads lists whose columns are parted by blanks, the name last.
type spaced struct {
	lat, lon, elev int // columns, elev −1 for none; the identifier is the first
	name           int // first column of the name, behind all others
	pad            int // digits of an identifier
}

// spacedList recognises such a list by its header: DWD's, whose name is
// followed by blanks and the state, and KNMI's. Both from memory.
func spacedList(line []byte) (*spaced, string) {
	f := bytes.Fields(bytes.TrimLeft(line, "# "))
	h := headings(f)
	at := func(names ...string) int { return find(h, names) }
	p := &spaced{lat: at("lat"), lon: at("lon"), elev: at("alt"), name: at("name")}
	layout := spacedName
	if at("stationsid") == 0 {
		p = &spaced{
			lat: at("geobreite", "geogrbreite"), lon: at("geolaenge", "geogrlaenge"), elev: at("stationshoehe"), name: at("stationsname"), pad: 5,
		}
		layout = dwdListName
	} else if at("stn") != 0 {
		return nil, ""
	}
	if p.lat < 1 || p.lon < 1 || p.name <= max(p.lat, p.lon, p.elev) || bytes.ContainsAny(line, ",;") {
		return nil, ""
	}
	return p, layout
}

func (p *spaced) row(line []byte, s *sink) {
	line = bytes.TrimLeft(line, "# ")
	if again, _ := spacedList(line); again != nil || len(bytes.Trim(line, "- \t")) == 0 {
		return
	}
	f := bytes.Fields(line)
	if len(f) < p.name {
		s.fault(0, line, fmt.Sprintf("%d columns where the header has %d", len(f), p.name+1), "the line is torn")
		return
	}
	id := text(bytes.TrimRight(f[0], ":"))
	site := unknownSite(strings.Repeat("0", max(0, p.pad-len(id))) + id)
	lat, okLat := number(f[p.lat], '.')
	lon, okLon := number(f[p.lon], '.')
	if !okLat || !okLon {
		s.fault(p.lat+1, f[p.lat], fmt.Sprintf("no position: %q", clip(line)), "the line is torn")
		return
	}
	place(&site, lat, lon)
	if p.elev >= 0 {
		if e, ok := number(f[p.elev], '.'); ok {
			height(&site, e)
		}
	}
	site.Name = nameAfter(line, p.name)
	s.book.add(site)
}

func (*spaced) end(*sink) {}

// nameAfter returns what follows the first columns, up to two blanks.
func nameAfter(line []byte, columns int) string {
	for range columns {
		line = bytes.TrimLeft(line, " \t")
		i := bytes.IndexAny(line, " \t")
		if i < 0 {
			return ""
		}
		line = line[i:]
	}
	name, _, _ := bytes.Cut(bytes.TrimLeft(line, " \t"), []byte("  "))
	return text(trim(name))
}
