package main

import (
	"fmt"
	"strings"

	"bloomtide/ingest"
)

// badLinesShown is how many bad lines are told one by one; the rest are counted.
const badLinesShown = 5

// tellBadLines names the first lines that could not be used.
func (s say) tellBadLines(r ingest.Report) {
	for i, err := range r.Bad {
		if i == badLinesShown {
			s.warning("%d more bad lines", r.BadCount-badLinesShown)
			return
		}
		s.warning("%v", err)
	}
}

// doubts says what reading the record left open, for the outputs.
func doubts(r ingest.Report) []string {
	var out []string
	count := func(n int, format string) {
		if n > 0 {
			out = append(out, fmt.Sprintf(format, n))
		}
	}
	count(r.BadCount, "%d lines of the weather files could not be read and are left out")
	count(r.Rejected, "%d values are left out because their publisher flagged them as bad")
	count(r.OutOfRange, "%d values are left out because no thermometer on earth shows them")
	count(r.Disordered, "%d days are left out because TMIN lies above TMAX")
	count(r.Differing, "%d values stand twice in the weather files and differ: the first is used")
	count(r.Missing, "%d days between the first and the last of the record stay without temperatures")
	return append(out, fewLeftOut(r.Notes)...)
}

// leftOutShown is how many files and stations that are left out are named; the
// rest are counted.
const leftOutShown = 5

// fewLeftOut counts what is left out beyond the first few.
func fewLeftOut(notes []string) []string {
	var out []string
	n := 0
	for _, note := range notes {
		if strings.HasPrefix(note, "left out: ") {
			if n++; n > leftOutShown {
				continue
			}
		}
		out = append(out, note)
	}
	if n > leftOutShown {
		out = append(out, fmt.Sprintf("%d more files or stations are left out", n-leftOutShown))
	}
	return out
}
