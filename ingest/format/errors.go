package format

import (
	"strings"
	"unicode"

	"bloomtide/ingest/weather"
)

// FileError is a reason not to read a file at all, or not to read on. Unlike a
// *weather.SyntaxError in the stream of readings it is always the last item.
type FileError struct {
	File   string // name as the user gave it
	Line   int    // line reached, from 1; 0 for the file as a whole
	Column int    // field number from 1; 0 where no single field is at fault
	What   string // what is wrong
	Mend   string // what to do about it, may be empty
	Err    error  // the cause, may be nil
}

// Error returns file:line:column: what: cause; mend.
func (e *FileError) Error() string {
	what := e.What
	if e.Err != nil {
		what += ": " + e.Err.Error()
	}
	s := weather.SyntaxError{File: e.File, Line: e.Line, Column: e.Column, What: what, Mend: e.Mend}
	return s.Error()
}

// Unwrap returns the cause.
func (e *FileError) Unwrap() error { return e.Err }

// clip shortens a text from a file for a message and makes it printable.
func clip(b []byte) string {
	const longest = 40
	s := strings.ToValidUTF8(string(b[:min(len(b), longest)]), "?")
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
			return '?'
		}
		return r
	}, s)
	if len(b) > longest {
		s += "…"
	}
	return s
}
