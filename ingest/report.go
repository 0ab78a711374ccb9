package ingest

import (
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// Report says what went into a record, and what did not.
type Report struct {
	Files      int          // files that named the station
	Lines      int          // lines read in those files, below the header
	Days       int          // days of the record with both extremes, estimates included
	Rejected   int          // extremes that the publisher flagged as bad
	OutOfRange int          // values in those files that cannot be on earth
	Disordered int          // days with TMIN above TMAX
	Duplicate  int          // extremes met more than once
	Differing  int          // of those, not the same within 0.05 K
	Estimated  int          // days with an estimated extreme
	Missing    int          // days between first and last that stay unusable
	Bad        []error      // the first bad lines, at most 20
	BadCount   int          // all of them
	Layouts    []string     // names of the layouts met
	Notes      []string     // what a user should know
	FirstDate  weather.Date // first day of the record
	LastDate   weather.Date // last day of the record
}

// mostBad is how many bad lines a report keeps word for word.
const mostBad = 20

// fileReport is what reading one file showed.
type fileReport struct {
	name       string
	layout     string
	notes      []string
	lines      int
	badLines   int // lines with a fault, each counted once
	faults     int
	outOfRange int
	bad        []error
	firstBad   *weather.SyntaxError
	lastLine   int
}

// add records a fault.
func (r *fileReport) add(e *weather.SyntaxError) {
	r.faults++
	if e.Line != r.lastLine {
		r.badLines++
		r.lastLine = e.Line
	}
	if r.firstBad == nil {
		r.firstBad = e
	}
	if len(r.bad) < mostBad {
		r.bad = append(r.bad, e)
	}
}

// finish takes what is known of a file once it is read.
func (r *fileReport) finish(f *format.File) {
	r.layout, r.notes = f.Layout(), f.Notes()
	r.lines, r.outOfRange = f.Lines(), f.OutOfRange()
}

// take adds a file to the report of a station.
func (r *Report) take(f *fileReport) {
	r.Files++
	r.Lines += f.lines
	r.OutOfRange += f.outOfRange
	r.BadCount += f.faults
	for _, e := range f.bad {
		if len(r.Bad) < mostBad {
			r.Bad = append(r.Bad, e)
		}
	}
	r.Layouts = appendNew(r.Layouts, f.layout)
	for _, n := range f.notes {
		r.Notes = appendNew(r.Notes, f.name+": "+n)
	}
}

func appendNew(have []string, s string) []string {
	for _, h := range have {
		if h == s {
			return have
		}
	}
	return append(have, s)
}
