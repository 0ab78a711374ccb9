package format

import (
	"bytes"
	"slices"
	"unicode/utf8"

	"bloomtide/ingest/weather"
)

// layout describes a published layout of delimited text with a header line and
// one station-day (or station-hour) a line. Names are as key makes them; of
// several names the first one present in the header counts.
type layout struct {
	name    string
	need    []string // all of these are in the header
	title   string   // stands above the header; empty for none
	ordered []string // these follow each other in this order
	id      []string
	label   []string
	lat     []string
	lon     []string
	elev    []string
	date    [][]string // the whole date; or year, day of year; or year, month, day
	columns []column
	guess   guess                           // where the file does not say its unit
	unit    Unit                            // the unit of temperatures where the layout fixes it
	hourly  bool                            // lines are hours
	year    int                             // length of every year where it is not the calendar's, days
	fixID   func(id []byte) string          // the identifier as its publisher writes it; nil as it stands
	confirm func(id []byte) bool            // whether the first station is of this publisher; nil if names are enough
	local   bool                            // identifiers mean something inside their file only
	site    func(head [][]byte, s *preface) // reads the lines above the header, may be nil
	unix    bool                            // dates may be seconds since 1970
	note    string
}

// column is one element of a layout.
type column struct {
	element weather.Element
	names   []string
	scale   scale                  // for elements other than temperature
	flag    string                 // name of the flag column, empty for none
	reject  func(flag []byte) bool // tells whether the flag says not to use the value
	trace   bool                   // T is a trace of rain
	zero    float64                // a value that stands for nearly none (KNMI's −1), 0 for none
	none    float64                // a value that stands for missing besides the common ones
}

// preface is what the lines above a header tell.
type preface struct {
	site      weather.Site
	sites     map[string]weather.Site // by the file's own identifier, where there are several
	units     map[string]string       // by column, where the header names none
	offsetSec int                     // the file's clock ahead of UTC, s
}

// heading is a header cell: its name in lower-case letters and digits, and what
// stood in brackets after it.
type heading struct{ key, unit string }

// headings reads a header line that has been split.
func headings(fields [][]byte) []heading {
	out := make([]heading, len(fields))
	for i, f := range fields {
		out[i].key = key(f)
		if open := bytes.IndexByte(f, '('); open > 0 {
			out[i] = heading{key(f[:open]), key(f[open:])}
		}
	}
	return out
}

// folded are the letters U+00C0 to U+00FF without their accents.
const folded = "aaaaaaaceeeeiiiidnooooo ouuuuypsaaaaaaaceeeeiiiidnooooo ouuuuypy"

// key keeps the lower-case letters and digits of a name, without accents, so
// that it is the same in every encoding and spelling with blanks, underscores
// and signs.
func key(b []byte) string {
	out := make([]byte, 0, len(b))
	for i, c := range b {
		accented := byte(' ')
		switch { // in UTF-8 such a letter is 0xc3 and its number less 0x40, in Latin-1 its number
		case c == 0xc3 && i+1 < len(b) && b[i+1] >= 0x80 && b[i+1] < 0xc0:
			accented = folded[b[i+1]-0x80]
		case c >= 0xc0 && !utf8.Valid(b):
			accented = folded[c-0xc0]
		}
		if accented != ' ' {
			out = append(out, accented)
			continue
		}
		switch {
		case c >= 'A' && c <= 'Z':
			out = append(out, c|0x20)
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
			out = append(out, c)
		}
	}
	return string(out)
}

// find returns the index of the first of names that the header has, or -1.
func find(header []heading, names []string) int {
	for _, n := range names {
		for i, h := range header {
			if h.key == n {
				return i
			}
		}
	}
	return -1
}

// fits reports whether a header is of this layout.
func (l *layout) fits(header []heading) bool {
	for _, n := range l.need {
		if find(header, []string{n}) < 0 {
			return false
		}
	}
	last := -1
	for _, n := range l.ordered {
		i := slices.IndexFunc(header, func(h heading) bool { return h.key == n })
		if i <= last {
			return false
		}
		last = i
	}
	return true
}

// bind finds the layout's columns in a header. It reports false where the date
// or every element is missing.
func (l *layout) bind(header []heading, delim byte) (*wide, bool) {
	w := &wide{layout: l, delim: delim, point: '.', width: len(header)}
	w.id, w.label = find(header, l.id), find(header, l.label)
	w.lat, w.lon, w.elev = find(header, l.lat), find(header, l.lon), find(header, l.elev)
	w.feet = w.elev >= 0 && (header[w.elev].unit == "ft" || header[w.elev].unit == "feet")
	for i, names := range l.date {
		w.date[i] = find(header, names)
		if w.date[i] < 0 {
			return nil, false
		}
		w.most = max(w.most, w.date[i])
	}
	for _, c := range l.columns {
		i := find(header, c.names)
		if i < 0 {
			continue
		}
		b := bound{column: c, at: i, flagAt: -1, unit: l.unit, scale: c.scale}
		if c.flag != "" {
			b.flagAt = find(header, []string{c.flag})
		}
		if l.guess == webExport && b.flagAt < 0 {
			b.oldFlag(header)
		}
		b.fromHeader(header[i].unit)
		w.most = max(w.most, i, b.flagAt)
		w.columns = append(w.columns, b)
	}
	w.most = max(w.most, w.id)
	return w, len(w.columns) > 0
}

// temperature reports whether an element is one.
func temperature(e weather.Element) bool {
	return e == weather.TMax || e == weather.TMin || e == weather.TMean
}

// fromHeader takes the unit that stands in brackets after the name.
func (b *bound) fromHeader(unit string) {
	if unit == "" {
		return
	}
	switch {
	case temperature(b.element):
		if u := unitWord(unit); u != Auto {
			b.unit = u
		}
	case b.element == weather.Rain && (unit == "inch" || unit == "in" || unit == "inches"):
		b.scale = inch
	case b.element == weather.Wind && unit == "kmh":
		b.scale = kilometreAnHour
	case b.element == weather.Wind && (unit == "mph" || unit == "mphs"):
		b.scale = mileAnHour
	case b.element == weather.Wind && (unit == "kn" || unit == "knots"):
		b.scale = knot
	}
}

// unitsAbove takes the units that the lines above the header tell.
func (w *wide) unitsAbove(units map[string]string) {
	for i := range w.columns {
		c := &w.columns[i]
		for _, name := range c.names {
			if u := units[name]; u != "" {
				c.fromHeader(u)
				break
			}
		}
	}
}

// unitWord reads the unit of temperature that a header names.
func unitWord(s string) Unit {
	switch s {
	case "c", "degc", "degreec", "degreesc", "degreecelsius", "degreescelsius", "celsius":
		return C
	case "f", "degf", "degreef", "degreesf", "fahrenheit", "degreesfahrenheit":
		return F
	case "01c", "01degc", "01degreescelsius", "tenthsc", "tenthsofc", "tenths":
		return TenthsC
	}
	return Auto
}
