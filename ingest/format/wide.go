package format

import (
	"bytes"
	"fmt"

	"bloomtide/ingest/weather"
)

// rows reads the lines of one layout.
type rows interface {
	// row reads a line and gives its readings and faults to the sink.
	row(line []byte, s *sink)
	// end gives what was held back, at the end of the file.
	end(s *sink)
}

// bound is a column found in a header.
type bound struct {
	column
	at, flagAt int
	unit       Unit
	scale      scale
	doubt      bool // the unit is a default that the file did not confirm
}

// wide reads one station-day a line after a header line.
type wide struct {
	layout         *layout
	delim, point   byte
	width, most    int // fields of the header; highest field needed
	id, label      int // -1 for none
	lat, lon, elev int
	feet           bool // the column elev is in feet
	date           [3]int
	order          dateOrder
	columns        []bound
	header         []byte // the header line, to skip it where files were joined
	site           weather.Site
	fields         [][]byte
	lastRaw        []byte
	scratch        []byte
	last           string
	known          bool
	hours          *hours // nil for daily files
	userFile       bool   // a file of the user's own: its unit is theirs to tell
	preface        preface
	joined         bool    // a header below the first has changed the columns
	stray          []stray // lines that may be a preamble met again
}

func (w *wide) row(line []byte, s *sink) {
	f, ok := w.cut(line, s)
	if !ok {
		return
	}
	at := w.stamp(f)
	if at.problem != "" {
		if w.again(f, s) {
			return
		}
		s.fault(w.date[0]+1, w.dateCell(f), badDate(at.problem, w.dateCell(f)), dateMend(at.problem))
		return
	}
	id := w.station(f, s)
	if len(w.stray) > 0 {
		w.release(s, nil)
	}
	if w.hours != nil {
		w.hours.row(w, f, at, id, s)
		return
	}
	for i := range w.columns {
		c := &w.columns[i]
		v, ok := w.value(c, f, s)
		if !ok {
			continue
		}
		s.add(found{id: id, date: at.date, c: c, value: v, rejected: w.rejected(c, f)})
	}
}

func (w *wide) end(s *sink) {
	w.release(s, nil)
	if w.hours != nil {
		w.hours.end(s)
	}
}

// cut splits a line and checks its number of fields. Blank lines, comments and
// the header met again hold nothing.
func (w *wide) cut(line []byte, s *sink) (f [][]byte, ok bool) {
	if len(line) == 0 || line[0] == '#' {
		return nil, false
	}
	if line[0] == w.header[0] && bytes.Equal(line, w.header) {
		if w.joined || len(w.stray) > 0 {
			w.again(split(nil, bytes.Clone(line), w.delim), s)
		}
		return nil, false
	}
	w.fields = split(w.fields[:0], line, w.delim)
	f = w.fields
	if len(f) == w.width {
		if w.width == 1 || len(trim(f[0])) > 0 || !blank(f) {
			return f, true
		}
		return nil, false
	}
	if blank(f) || len(line) == 1 && line[0] == endOfText {
		return nil, false
	}
	if len(f) > w.most && !s.torn && (len(f) < w.width || blank(f[w.width:])) {
		return f, true // a program that drops or adds empty cells at the end
	}
	if w.again(f, s) {
		return nil, false
	}
	mend := "the line is torn or a text holds the delimiter without quotes"
	s.fault(0, line, fmt.Sprintf("%d fields where the header has %d", len(f), w.width), mend)
	w.hold(f, s)
	return nil, false
}

// endOfText is the sign that old systems end a text with; DWD's files until
// about 2016 have it (from memory).
const endOfText = 0x1a

func blank(f [][]byte) bool {
	for _, b := range f {
		if len(trim(b)) > 0 {
			return false
		}
	}
	return true
}

// stamp reads the date, and the hour where there is one.
func (w *wide) stamp(f [][]byte) stamp {
	if len(w.layout.date) == 1 {
		cell := trim(f[w.date[0]])
		if w.layout.unix {
			if sec, ok := number(cell, '.'); ok {
				if s, ok := secondsStamp(sec, w.preface.offsetSec); ok {
					return s
				}
			}
		}
		return parseStamp(cell, w.order)
	}
	var n [3]int
	for i := range w.layout.date {
		v, ok := number(trim(f[w.date[i]]), w.point)
		if !ok || v != float64(int32(v)) {
			return stamp{problem: notADate}
		}
		n[i] = int(v)
	}
	s := stamp{hour: -1}
	if len(w.layout.date) == 2 {
		s.date, s.problem = yearDay(n[0], n[1], w.layout.year)
	} else {
		s.date, s.problem = civil(n[0], n[1], n[2])
	}
	return s
}

// dateCell returns the text of the date for a message.
func (w *wide) dateCell(f [][]byte) []byte {
	out := bytes.Clone(trim(f[w.date[0]]))
	for i := 1; i < len(w.layout.date); i++ {
		out = append(append(out, '-'), trim(f[w.date[i]])...)
	}
	return out
}

func badDate(problem string, text []byte) string {
	return fmt.Sprintf("%s: %q", problem, clip(text))
}

func dateMend(problem string) string {
	switch problem {
	case ambiguous:
		return "write dates as YYYY-MM-DD"
	case monthOnly:
		return "fetch the daily values: bloom is told by days"
	case shortYear:
		return "write the year with four digits, best as YYYY-MM-DD"
	case noSuchDay:
		return "correct the date or delete the line"
	default:
		return "dates are read as YYYY-MM-DD; name another column with --date-column"
	}
}

// station returns the identifier of the line's station, the same string for as
// long as the station stays the same.
func (w *wide) station(f [][]byte, s *sink) string {
	if w.id < 0 && w.lat >= 0 && w.lon >= 0 && w.lat < len(f) && w.lon < len(f) {
		return w.byPlace(f, s)
	}
	if w.id < 0 {
		if !w.known {
			w.known = true
			s.book.add(w.site)
		}
		return w.site.ID
	}
	raw := f[w.id]
	if w.known && bytes.Equal(raw, w.lastRaw) {
		return w.last
	}
	w.known = true
	w.lastRaw = append(w.lastRaw[:0], raw...)
	cell := trim(raw)
	w.last = text(cell)
	switch place, ok := w.preface.sites[w.last]; {
	case ok:
		w.last = place.ID
	case w.layout.local:
		w.last = stem(s.file) + " " + w.last
	case w.layout.fixID != nil:
		w.last = w.layout.fixID(cell)
	}
	if !s.book.has(w.last) {
		s.book.add(w.describe(f))
	}
	return w.last
}

// byPlace is station for files in which only the position tells stations apart,
// as points of a grid.
func (w *wide) byPlace(f [][]byte, s *sink) string {
	raw := append(append(append(w.scratch[:0], trim(f[w.lat])...), ','), trim(f[w.lon])...)
	w.scratch = raw
	if w.known && bytes.Equal(raw, w.lastRaw) {
		return w.last
	}
	w.known = true
	w.lastRaw = append(w.lastRaw[:0], raw...)
	w.last = text(raw)
	if !s.book.has(w.last) {
		s.book.add(w.describe(f))
	}
	return w.last
}

// describe reads what a line says of its station.
func (w *wide) describe(f [][]byte) weather.Site {
	site := w.site
	site.ID = w.last
	if s, ok := w.preface.sites[string(trim(w.lastRaw))]; ok {
		site = s
	}
	if b := w.cell(f, w.label); len(b) > 0 {
		site.Name = text(b)
	}
	lat, okLat := number(w.cell(f, w.lat), w.point)
	lon, okLon := number(w.cell(f, w.lon), w.point)
	if okLat && okLon {
		place(&site, lat, lon)
	}
	if e, ok := number(w.cell(f, w.elev), w.point); ok {
		if w.feet {
			e *= 0.3048 // exact
		}
		height(&site, e)
	}
	return site
}

func (w *wide) cell(f [][]byte, i int) []byte {
	if i < 0 || i >= len(f) {
		return nil
	}
	return trim(f[i])
}

// value reads the number of one column; false where there is none.
func (w *wide) value(c *bound, f [][]byte, s *sink) (v float64, ok bool) {
	cell := trim(f[c.at])
	if missing(cell) {
		return 0, false
	}
	v, ok = number(cell, w.point)
	if !ok {
		if c.trace && trace(cell) {
			return 0, true
		}
		if plain, ok := hyphened(cell); ok {
			f[c.at] = plain
			return w.value(c, f, s)
		}
		s.fault(c.at+1, cell, fmt.Sprintf("%s is not a number: %q", c.element, clip(cell)), numberMend(cell, w.point))
		return 0, false
	}
	if s.raw && temperature(c.element) && bytes.IndexByte(cell, '.') >= 0 {
		s.points++
	}
	if s.raw && c.element == weather.Rain {
		s.rain++
		if bytes.IndexByte(cell, '.') >= 0 {
			s.rainPoints++
		}
	}
	if c.sentinel(v) || c.none != 0 && v == c.none {
		return 0, false
	}
	if c.zero != 0 && v == c.zero {
		v = 0
	}
	return v, true
}

// trace reports whether a cell says that there was rain, too little to measure:
// T in English, Ip in Spain (inapreciable). From memory.
func trace(cell []byte) bool {
	return len(cell) == 1 && cell[0] == 'T' || string(cell) == "Ip"
}

// hyphened puts the hyphen in the place of the minus sign that programs for
// writing print, U+2212.
func hyphened(cell []byte) ([]byte, bool) {
	rest, ok := bytes.CutPrefix(cell, []byte("−"))
	return append([]byte{'-'}, rest...), ok
}

func numberMend(cell []byte, point byte) string {
	if _, ok := number(firstWord(cell), point); ok {
		return "write the number without its unit, which may stand in the header"
	}
	if point == '.' && bytes.IndexByte(cell, ',') >= 0 {
		return "write decimals with a point, or separate the columns by semicolons"
	}
	return "leave the cell empty where there is no value"
}

// firstWord is what stands before the first blank or degree sign.
func firstWord(cell []byte) []byte {
	if i := bytes.IndexAny(cell, " \u00a0°"); i >= 0 {
		return cell[:i]
	}
	return cell
}

func (w *wide) rejected(c *bound, f [][]byte) bool {
	return c.flagAt >= 0 && c.flagAt < len(f) && c.reject(trim(f[c.flagAt]))
}
