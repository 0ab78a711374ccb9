package ingest

import (
	"fmt"
	"sync/atomic"

	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// LargeReport says what reading a large file showed.
type LargeReport struct {
	Layout    string
	Lines     int     // below the header
	BadCount  int     // faults
	Bad       []error // the first of them, at most 20
	Stations  int     // stations with temperatures
	LeftOut   int     // stations without any
	Processed bool    // the file was read here; else Collect has to read it from its start
}

// Large reads a by-year or by-station file of GHCN-Daily much faster than
// Collect and with the same rules, and gives each station to fn, from several
// goroutines at once and in no order. Gaps are not filled. The days of a record
// are valid until fn returns; its first error ends the reading.
//
// Other files, and those that are not as their publisher prints them, are left
// alone: Processed is false, and Collect is to read them. The error is one of
// Collect's, or fn's.
func Large(in format.LargeSource, writers int, fn func(Record) error) (LargeReport, error) {
	l, ok, err := format.ReadByYear(in)
	if err == nil && !ok && rewound(in) {
		l, ok, err = format.ReadStationCSV(in)
	}
	if err != nil || !ok {
		return LargeReport{}, err
	}
	r := fileReport{name: in.Name, layout: l.Layout, lines: l.Lines, badLines: l.BadLines, faults: l.Faults}
	for _, e := range l.First {
		r.bad = append(r.bad, e)
	}
	if len(l.First) > 0 {
		r.firstBad = l.First[0]
	}
	if err := r.condemned(l.Lines, l.Layout, true); err != nil {
		return LargeReport{}, err
	}
	out := LargeReport{Layout: l.Layout, Lines: l.Lines, BadCount: l.Faults, Bad: r.bad, Processed: true}
	var given atomic.Int64
	err = l.Each(writers, func(s weather.Series, t format.Tally) error {
		given.Add(1)
		rec, err := settled(s, t, l.Layout)
		if err != nil {
			return fmt.Errorf("%s: %w", in.Name, err)
		}
		return fn(rec)
	})
	out.Stations = int(given.Load())
	out.LeftOut = l.Stations - out.Stations
	return out, err
}

// rewound goes back to the start of a file; false for a stream.
func rewound(in format.LargeSource) bool {
	s, ok := in.Reader.(interface {
		Seek(offset int64, whence int) (int64, error)
	})
	if !ok {
		return false
	}
	_, err := s.Seek(0, 0)
	return err == nil
}

// settled rejects both extremes of days with TMIN above TMAX, in place, and
// makes the record. A record of which most days are so is refused.
func settled(s weather.Series, t format.Tally, layout string) (Record, error) {
	r := Report{
		Files: 1, Rejected: t.Rejected, Duplicate: t.Duplicate, Differing: t.Differing, Layouts: []string{layout},
	}
	both := 0
	for i := range s.Days {
		d := &s.Days[i]
		if !d.MinFlags.Usable() || !d.MaxFlags.Usable() {
			continue
		}
		both++
		if d.Min > d.Max {
			d.MinFlags |= weather.Rejected
			d.MaxFlags |= weather.Rejected
			r.Disordered++
		}
	}
	if swapped(r.Disordered, both) {
		return Record{}, &format.FileError{
			File: s.Site.ID, What: fmt.Sprintf("TMIN is above TMAX on %d of %d days: the columns look swapped", r.Disordered, both),
			Mend: "fetch the file again",
		}
	}
	// What Report.measure would count, known already: nothing is filled in here.
	r.Days = both - r.Disordered
	r.Missing = len(s.Days) - r.Days
	r.FirstDate, r.LastDate = s.Start, s.End()-1
	return Record{Series: s, Report: r}, nil
}

// swapped tells from the days with both extremes whether they are taken one
// for the other.
func swapped(disordered, both int) bool {
	return disordered > fewBad && float64(disordered) > swappedShare*float64(both) || both > 0 && both == disordered
}
