package weather

import (
	"fmt"
	"strings"
)

// SyntaxError is a bad line of an input file. It is a value in the stream of
// readings: it is counted and reported, and reading goes on.
type SyntaxError struct {
	File   string // name as the user gave it
	Line   int    // from 1; 0 for the file as a whole
	Column int    // field number from 1; 0 where no single field is at fault
	Value  string // the offending text, may be empty
	What   string // what is wrong, with the value in it
	Mend   string // what to do about it, may be empty
}

// Error returns file:line:column: what; mend.
func (e *SyntaxError) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
	}
	if e.Column > 0 {
		fmt.Fprintf(&b, ":%d", e.Column)
	}
	b.WriteString(": ")
	b.WriteString(e.What)
	if e.Mend != "" {
		b.WriteString("; ")
		b.WriteString(e.Mend)
	}
	return b.String()
}
