package format

import (
	"bytes"
	"slices"

	"bloomtide/ingest/weather"
)

// stray is a line that is no day, with its fault. It is held back until the next
// day, since a header may follow that makes it a line of a preamble.
type stray struct {
	fields [][]byte
	fault  *weather.SyntaxError
}

// hold keeps the last fault of the sink back, where the layout has a preamble
// that tells of its station.
func (w *wide) hold(fields [][]byte, s *sink) {
	if w.layout.site == nil {
		return
	}
	if len(w.stray) == preambleLines {
		w.release(s, nil)
	}
	last := len(s.faults) - 1
	held := stray{fault: s.faults[last]}
	for _, f := range fields {
		held.fields = append(held.fields, bytes.Clone(f))
	}
	s.faults = s.faults[:last]
	w.stray = append(w.stray, held)
}

// release gives the faults that were held back, without those of which keep
// is false.
func (w *wide) release(s *sink, keep func(stray) bool) {
	for _, held := range w.stray {
		if keep == nil || keep(held) {
			s.faults = append(s.faults, held.fault)
		}
	}
	w.stray = nil
}

// line is the held line as it may have stood.
func (h stray) line(delim byte) []byte {
	var out []byte
	for i, f := range h.fields {
		if i > 0 {
			out = append(out, delim)
		}
		if bytes.IndexByte(f, delim) >= 0 {
			f = append(append([]byte{'"'}, f...), '"')
		}
		out = append(out, f...)
	}
	return out
}

// dated reports whether a held line has a date, as the rest of a torn day has
// and a preamble has not.
func (w *wide) dated(h stray) bool {
	for i := range w.layout.date {
		if w.date[i] >= len(h.fields) {
			return false
		}
	}
	return w.stamp(h.fields).problem == ""
}

// again takes the fields of a line that is no day for a header met below the
// first, as where files were joined one behind the other, and reads on by it: a
// later file may have other columns, in another order, and in its preamble
// another station. It reports false, and changes nothing, where the line is none.
func (w *wide) again(fields [][]byte, s *sink) bool {
	h := headings(cutMark(fields))
	if len(h) < 2 || w.layout.name == namedName || find(h, w.layout.date[0]) < 0 {
		return false
	}
	next := w.rebound(h, fields)
	if next == nil {
		return false
	}
	for i := range next.columns {
		w.asBefore(&next.columns[i])
	}
	next.delim, next.point, next.order = w.delim, w.point, w.order
	next.header, next.userFile, next.joined = w.header, w.userFile, true
	next.site, next.preface, next.hours = w.site, w.preface, w.hours
	next.fields = w.fields
	if w.hours != nil {
		w.hours.temp, w.hours.rain = nil, nil
	}
	if len(w.stray) > 0 {
		var above [][]byte
		for _, held := range w.stray {
			above = append(above, held.line(w.delim))
		}
		if next.restation(above) {
			w.release(s, w.dated)
		} else {
			w.release(s, nil)
		}
	}
	*w = *next
	return true
}

// cutMark takes the byte order mark off the first field.
func cutMark(fields [][]byte) [][]byte {
	const mark = "\xef\xbb\xbf"
	if len(fields) == 0 || !bytes.HasPrefix(fields[0], []byte(mark)) {
		return fields
	}
	fields = slices.Clone(fields)
	fields[0] = bytes.Trim(fields[0][len(mark):], `"`)
	return fields
}

// rebound binds a header to the layout of the first one, or to a published one
// of the same service's unit; nil where it is of neither.
func (w *wide) rebound(h []heading, fields [][]byte) *wide {
	if w.userFile {
		next, _ := plainHeader("", 0, fields, Columns{})
		if next == nil || next.layout.hourly != w.layout.hourly {
			return nil
		}
		return next
	}
	if w.layout.fits(h) {
		if next, ok := w.layout.bind(h, w.delim); ok {
			return next
		}
	}
	all := layouts()
	for i := range all {
		l := &all[i]
		if l.unit == Auto || l.unit != w.layout.unit || l.hourly || w.layout.hourly || l.title != "" || len(l.need) == 0 || !l.fits(h) {
			continue
		}
		if next, ok := l.bind(h, w.delim); ok {
			return next
		}
	}
	return nil
}

// asBefore gives a column the unit that the file was found to have, where its
// own header names none.
func (w *wide) asBefore(c *bound) {
	var known *bound
	for i := range w.columns {
		if o := &w.columns[i]; temperature(o.element) {
			known = o
		}
	}
	switch {
	case known == nil:
	case temperature(c.element) && c.unit == Auto:
		c.unit, c.doubt = known.unit, known.doubt
	case !temperature(c.element) && w.layout.unit == Auto:
		w.companion(c, known.unit)
	}
}

// restation takes the station from a preamble met again; false where it tells
// of none.
func (w *wide) restation(head [][]byte) bool {
	if w.layout.site == nil {
		return false
	}
	p := preface{site: unknownSite(""), sites: map[string]weather.Site{}}
	w.layout.site(head, &p)
	for id, site := range p.sites {
		w.preface.sites[id] = site
	}
	if p.site.ID != "" {
		w.site = p.site
	}
	return p.site.ID != "" || len(p.sites) > 0
}
