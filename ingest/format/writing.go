package format

import (
	"bytes"
	"fmt"
)

// decimalComma takes the comma for the decimal mark where temperatures are
// written with one, and none with a point.
func (w *wide) decimalComma(body [][]byte) {
	comma := false
	var f [][]byte
	for _, line := range body[:min(len(body), firstLines)] {
		f = split(f[:0], bytes.Clone(line), w.delim)
		for _, c := range w.columns {
			if c.at >= len(f) {
				continue
			}
			if bytes.IndexByte(f[c.at], '.') >= 0 {
				return
			}
			comma = comma || bytes.IndexByte(f[c.at], ',') >= 0
		}
	}
	if comma {
		w.point = ','
	}
}

// firstLines is how many lines tell how numbers and dates are written.
const firstLines = 500

// unclear reports whether one of the first lines has a date in which day and
// month cannot be told apart by itself.
func (w *wide) unclear(body [][]byte) bool {
	var f [][]byte
	for _, line := range body[:min(len(body), firstLines)] {
		f = split(f[:0], bytes.Clone(line), w.delim)
		if w.date[0] < len(f) && parseStamp(trim(f[w.date[0]]), orderUnknown).problem == ambiguous {
			return true
		}
	}
	return false
}

// dateOrder finds whether 3/4/2020 is in March or April: over many days only
// one reading gives days that exist.
func (w *wide) dateOrder(name string, first int, body [][]byte) error {
	if len(w.layout.date) != 1 || !w.unclear(body) {
		return nil
	}
	var day, month, unclear, line int
	var f [][]byte
	for i, b := range body {
		f = split(f[:0], bytes.Clone(b), w.delim)
		if w.date[0] >= len(f) || parseStamp(trim(f[w.date[0]]), orderUnknown).problem != ambiguous {
			continue
		}
		if unclear == 0 {
			line = i
		}
		unclear++
		if parseStamp(trim(f[w.date[0]]), dayFirst).problem == "" {
			day++
		}
		if parseStamp(trim(f[w.date[0]]), monthFirst).problem == "" {
			month++
		}
	}
	switch {
	case unclear == 0:
	case day > month:
		w.order = dayFirst
	case month > day:
		w.order = monthFirst
	default:
		f = split(f[:0], bytes.Clone(body[line]), w.delim)
		return &FileError{
			File: name, Line: first + line, Column: w.date[0] + 1,
			What: fmt.Sprintf("%s: %q", ambiguous, clip(f[w.date[0]])), Mend: dateMend(ambiguous),
		}
	}
	return nil
}
