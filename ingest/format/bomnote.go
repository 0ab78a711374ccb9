package format

import (
	"bytes"
	"strings"

	"bloomtide/ingest/weather"
)

const bomNoteName = "BOM note"

// bomNote reads the text that comes in the zip of BOM's daily files and tells
// of their station, a name, a colon and a value a line: "Latitude (decimal
// degrees, south negative): -33.86". It holds no readings. From memory.
type bomNote struct {
	site     weather.Site
	begun    bool
	lat, lon float64
}

// isBOMNote looks for the lines that matter among the first.
func isBOMNote(text [][]byte) bool {
	number, lat := false, false
	for _, line := range text[:min(len(text), preambleLines)] {
		number = number || bytes.Contains(line, []byte("tation number:"))
		lat = lat || bytes.Contains(line, []byte("Latitude (decimal degrees"))
	}
	return number && lat
}

func (n *bomNote) row(line []byte, _ *sink) {
	if !n.begun {
		n.site, n.begun = unknownSite(""), true
	}
	i := bytes.LastIndexByte(line, ':')
	if i < 0 {
		return
	}
	value := trim(line[i+1:])
	v, isNumber := number(value, '.')
	switch name := key(line[:i]); {
	case strings.HasSuffix(name, "stationnumber") && isNumber:
		const digits = 6
		n.site.ID = strings.Repeat("0", max(0, digits-len(value))) + text(value)
	case strings.HasSuffix(name, "stationname"):
		n.site.Name = text(value)
	case strings.HasPrefix(name, "latitudedecimaldegrees") && isNumber:
		n.lat = v
	case strings.HasPrefix(name, "longitudedecimaldegrees") && isNumber:
		n.lon = v
		place(&n.site, n.lat, n.lon)
	case strings.HasPrefix(name, "heightofstationabovemeansealevel") && isNumber:
		height(&n.site, v)
	}
}

func (n *bomNote) end(s *sink) {
	if n.site.ID != "" {
		s.book.add(n.site)
	}
}
