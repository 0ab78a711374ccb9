// Package ingest turns files of daily temperatures into clean series: it reads
// every layout of ingest/format, joins the files of a station, marks what
// cannot be, and fills gaps with a flag.
package ingest

import (
	"errors"
	"fmt"
	"io"
	"sort"
	"strings"

	"bloomtide/ingest/fill"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// Source is one file, or standard input.
type Source struct {
	Name   string // for messages, and for the station where the file names none
	Reader io.Reader

	// Open, in place of Reader, is called when the turn of the source has come,
	// so that a folder of thousands is not open at once. What it gives is closed
	// afterwards where it can be.
	Open func() (io.Reader, error)
}

// Options of Collect; the zero value means the stated defaults.
type Options struct {
	Unit     format.Unit    // unit of temperatures where files leave it open
	Columns  format.Columns // the user's names of columns
	Fill     fill.Options   // how far gaps are filled
	NoFill   bool           // leave gaps empty
	MinDays  int            // usable days that a station needs; default 365
	Means    bool           // take daily means where a day has no extremes, with a note
	LeaveOut bool           // note files that cannot be read instead of failing, as for a folder

	// Decode reads a Parquet file of the archive's layout; nil: Parquet is
	// refused. Its error says what is wrong and what to do.
	Decode func(name string, content []byte) (weather.Series, error)
}

// Record is the series of one station with its report.
type Record struct {
	Series weather.Series
	Report Report
}

// Limits, our choices: a year is the least from which a season can be seen, a
// record must have one in which four days of five were observed, and a file of
// which one line in twenty is bad is not what it seems.
const (
	defaultMinDays = 365
	mostBadShare   = 0.05
	fewBad         = 3 // bad lines that never condemn a file
	swappedShare   = 0.5
	fullYear       = 365
	leastYearShare = 0.8
)

// Collect reads all sources, joins what belongs to one station, cleans and
// fills it, and returns one record a station, the longest first.
//
// Where files overlap, a value that its publisher did not reject stands before
// one that was rejected; of two such values the one read first stands. Sources
// are read in the order given.
//
// The error is a *format.FileError for a file that cannot be what it seems, or
// a *PoorDataError where no station has enough. Stations that are too poor, and
// with LeaveOut files that cannot be read, are left out and named in the notes
// of the others.
func Collect(sources []Source, o Options) ([]Record, error) {
	c := collector{o: o, stations: map[string]*station{}}
	for _, s := range sources {
		if err := c.take(s); err != nil {
			return nil, err
		}
	}
	if len(sources) == 0 {
		return nil, errors.New("no file of daily temperatures is given; name one with --weather")
	}
	return c.records()
}

// collector gathers readings by station.
type collector struct {
	o        Options
	stations map[string]*station
	order    []*station
	files    []*fileReport
	sites    map[string]weather.Site
	leftOut  []string
	why      error               // why the first file was left out
	means    map[string]*station // daily means by station, where they are asked for
}

// condemned refuses a file of which too many lines are bad.
func (r *fileReport) condemned(lines int, layout string, end bool) error {
	const soonest = 1000 // lines before a file may be refused unread
	if r.badLines <= fewBad || !end && lines < soonest || float64(r.badLines) <= mostBadShare*float64(lines) {
		if !end || r.badLines == 0 || r.badLines < lines {
			return nil
		}
	}
	b := r.firstBad
	return &format.FileError{
		File: b.File, Line: b.Line, Column: b.Column,
		What: fmt.Sprintf("%s; %d of the first %d lines are bad, so the file is not what it seems (read as %s)", b.What, r.badLines, lines, layout),
		Mend: b.Mend,
	}
}

// keep joins what files say of their stations.
func (c *collector) keep(sites []weather.Site) {
	if c.sites == nil {
		c.sites = map[string]weather.Site{}
	}
	for _, s := range sites {
		have, ok := c.sites[s.ID]
		if !ok {
			c.sites[s.ID] = s
			continue
		}
		if have.Name == "" || have.Name == have.ID {
			have.Name = s.Name
		}
		if !have.Located() {
			have.Point = s.Point
		}
		if have.ElevM != have.ElevM {
			have.ElevM = s.ElevM
		}
		c.sites[s.ID] = have
	}
}

// station returns the station with an identifier, met in file number at.
func (c *collector) station(id string, at int) *station {
	s := c.stations[id]
	if s == nil {
		s = &station{id: id}
		c.stations[id] = s
		c.order = append(c.order, s)
	}
	if n := len(s.files); n == 0 || s.files[n-1] != at {
		s.files = append(s.files, at)
	}
	return s
}

// records finishes every station.
func (c *collector) records() ([]Record, error) {
	var out []Record
	var poor []*PoorDataError
	for _, s := range c.order {
		r, err := c.finish(s)
		var p *PoorDataError
		switch {
		case errors.As(err, &p):
			poor = append(poor, p)
		case err != nil:
			return nil, err
		default:
			out = append(out, r)
		}
	}
	if len(out) == 0 {
		return nil, c.nothing(poor)
	}
	notes := c.leftOut
	for _, p := range poor {
		notes = append(notes, "left out: "+p.Error())
	}
	for i := range out {
		out[i].Report.Notes = append(out[i].Report.Notes, notes...)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Report.Days > out[j].Report.Days })
	return out, nil
}

// nothing words that no station is good enough: the one that came nearest.
func (c *collector) nothing(poor []*PoorDataError) error {
	if len(c.files) == 0 && c.why != nil {
		return fmt.Errorf("none of %d files can be read; the first: %w", len(c.leftOut), c.why)
	}
	if len(poor) == 0 && len(c.files) > 0 && format.HoldsPlaces(c.files[0].layout) {
		f := c.files[0]
		return &format.FileError{
			File: f.name, What: f.layout + " tells where stations stand and holds no temperatures",
			Mend: "give it together with the daily records, or leave it in their folder",
		}
	}
	if len(poor) == 0 {
		name := "input"
		if len(c.files) > 0 {
			name = c.files[0].name
		}
		e := &PoorDataError{Station: name, Need: c.minDays()}
		if len(c.leftOut) > 0 {
			e.Hint = c.leftOut[0]
		}
		for _, f := range c.files {
			if f.firstBad != nil && e.Hint == "" {
				e.Hint = f.firstBad.Error()
			}
		}
		return e
	}
	best := poor[0]
	for _, p := range poor {
		if p.Usable > best.Usable {
			best = p
		}
	}
	if len(c.leftOut) > 0 {
		best.Hint = strings.TrimPrefix(best.Hint+"; "+c.leftOut[0], "; ")
	}
	return best
}

func (c *collector) minDays() int {
	if c.o.MinDays > 0 {
		return c.o.MinDays
	}
	return defaultMinDays
}
