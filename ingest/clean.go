package ingest

import (
	"fmt"
	"math"

	"bloomtide/ingest/fill"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// cell is a day with the places where its extremes stood.
type cell struct {
	day              weather.Day
	minAt, maxAt     int32 // lines
	minFile, maxFile int32
}

// station gathers the days of one station.
type station struct {
	id        string
	start     weather.Date
	cells     []cell
	files     []int
	rejected  int
	duplicate int
	differing int
}

// at returns the cell of a day, making room for it. Dates are bounded by
// ingest/format, and with them the room.
func (s *station) at(d weather.Date) *cell {
	switch {
	case len(s.cells) == 0:
		s.start = d
		s.cells = append(s.cells, cell{})
	case d < s.start:
		more := int(s.start - d)
		spare := max(more, len(s.cells)/2) // a record that runs backwards is not moved for each day
		if first := int(s.start) - spare; first < int(earliest) {
			spare = more
		}
		grown := make([]cell, spare+len(s.cells))
		copy(grown[spare:], s.cells)
		s.cells, s.start = grown, s.start-weather.Date(spare)
	case int(d-s.start) >= len(s.cells):
		s.cells = append(s.cells, make([]cell, int(d-s.start)-len(s.cells)+1)...)
	}
	return &s.cells[d-s.start]
}

// earliest is 1 January of format.Oldest.
const earliest weather.Date = -98615

// put keeps a reading by the rule stated at Collect.
func (s *station) put(r weather.Reading, file int32) {
	switch r.Element {
	case weather.TMin, weather.TMax:
		if r.Flags&weather.Rejected != 0 {
			s.rejected++
		}
		v := weather.Celsius(r.Value)
		if v < weather.Coldest || v > weather.Hottest || math.IsNaN(r.Value) {
			return // flagged by its publisher, or format would not have let it pass
		}
		c := s.at(r.Date)
		if r.Element == weather.TMin {
			s.keep(&c.day.Min, &c.day.MinFlags, v, r.Flags, func() { c.minAt, c.minFile = int32(r.Line), file })
			return
		}
		s.keep(&c.day.Max, &c.day.MaxFlags, v, r.Flags, func() { c.maxAt, c.maxFile = int32(r.Line), file })
	case weather.Rain, weather.Wind:
		if !format.Possible(r.Element, r.Value) {
			return // flagged by its publisher
		}
		d := &s.at(r.Date).day
		v, f := &d.RainMm, &d.RainFlags
		if r.Element == weather.Wind {
			v, f = &d.WindMs, &d.WindFlags
		}
		if f.Yields(r.Flags) {
			*v, *f = r.Value, r.Flags
		}
	}
}

func (s *station) keep(t *weather.Celsius, f *weather.Flags, v weather.Celsius, flags weather.Flags, mark func()) {
	if *f != 0 {
		s.duplicate++
		if math.Abs(float64(*t-v)) > 0.05 {
			s.differing++
		}
		if f.Usable() || !flags.Usable() {
			return
		}
	}
	*t, *f = v, flags
	mark()
}

// finish makes the clean, filled series of a station with its report.
func (c *collector) finish(s *station) (Record, error) {
	note := s.useMeans(c.means[s.id])
	s.trim()
	r := Record{Report: Report{Rejected: s.rejected, Duplicate: s.duplicate, Differing: s.differing}}
	if note != "" {
		r.Report.Notes = append(r.Report.Notes, note)
	}
	for _, at := range s.files {
		r.Report.take(c.files[at])
	}
	if err := c.disorder(s, &r.Report); err != nil {
		return r, err
	}
	site, ok := c.sites[s.id]
	if !ok {
		site = weather.Site{ID: s.id, Point: weather.Nowhere(), ElevM: math.NaN()}
	}
	days := make([]weather.Day, len(s.cells))
	for i := range s.cells {
		days[i] = s.cells[i].day
	}
	series := weather.Series{Site: site, Start: s.start, Days: days, Sources: []weather.Site{site}}
	if !c.o.NoFill {
		series, _ = fill.Series(series, c.o.Fill)
	}
	r.Series = series
	r.Report.measure(series)
	if s.differing > 0 {
		r.Report.Notes = append(r.Report.Notes, fmt.Sprintf("%d values were given twice and differ; the first read stands", s.differing))
	}
	return r, c.enough(r)
}

// trim drops days without any extreme from both ends.
func (s *station) trim() {
	empty := func(c cell) bool { return c.day.MinFlags|c.day.MaxFlags == 0 }
	for len(s.cells) > 0 && empty(s.cells[len(s.cells)-1]) {
		s.cells = s.cells[:len(s.cells)-1]
	}
	n := 0
	for n < len(s.cells) && empty(s.cells[n]) {
		n++
	}
	s.cells = s.cells[n:]
	s.start += weather.Date(n)
}

// disorder rejects both extremes of days with TMIN above TMAX, and refuses a
// record of which most days are so.
func (c *collector) disorder(s *station, r *Report) error {
	both := 0
	var first error
	for i := range s.cells {
		k := &s.cells[i]
		d := &k.day
		if !d.MinFlags.Usable() || !d.MaxFlags.Usable() {
			continue
		}
		both++
		if d.Min <= d.Max {
			continue
		}
		e := &weather.SyntaxError{
			File: c.files[k.minFile].name, Line: int(k.minAt), Value: fmt.Sprintf("%.1f", float64(d.Min)),
			What: fmt.Sprintf("TMIN %.1f °C is above TMAX %.1f °C on %s", float64(d.Min), float64(d.Max), s.start+weather.Date(i)),
			Mend: "neither is used",
		}
		if first == nil {
			first = e
		}
		if len(r.Bad) < mostBad {
			r.Bad = append(r.Bad, e)
		}
		d.MinFlags |= weather.Rejected
		d.MaxFlags |= weather.Rejected
		r.Disordered++
		r.BadCount++
	}
	if r.Disordered > fewBad && float64(r.Disordered) > swappedShare*float64(both) || both > 0 && both == r.Disordered {
		e := first.(*weather.SyntaxError)
		return &format.FileError{
			File: e.File, Line: e.Line,
			What: fmt.Sprintf("%s, and so on %d of %d days: the columns look swapped", e.What, r.Disordered, both),
			Mend: "name them the right way round with --tmin-column and --tmax-column",
		}
	}
	return nil
}

// measure counts the days of a finished series.
func (r *Report) measure(s weather.Series) {
	for i := range s.Days {
		d := &s.Days[i]
		if d.Usable() {
			r.Days++
		} else {
			r.Missing++
		}
		if d.Estimated() {
			r.Estimated++
		}
	}
	if len(s.Days) > 0 {
		r.FirstDate, r.LastDate = s.Start, s.End()-1
	}
}

// enough refuses a record that cannot carry a forecast.
func (c *collector) enough(r Record) error {
	e := &PoorDataError{
		Station: r.Series.Site.ID, Name: r.Series.Site.Name, Usable: r.Report.Days, Need: c.minDays(),
		First: r.Report.FirstDate, Last: r.Report.LastDate, BestShare: bestYear(r.Series),
	}
	if low, high := extremes(r.Series); e.Usable == 0 && low+high > 0 {
		e.Hint = fmt.Sprintf("%d minima and %d maxima were read; where a publisher keeps them in two files, give both", low, high)
	} else if len(r.Report.Bad) > 0 {
		e.Hint = fmt.Sprintf("%d lines could not be read, the first: %v", r.Report.BadCount, r.Report.Bad[0])
	}
	if e.Usable < e.Need || e.BestShare < leastYearShare && e.Need >= fullYear {
		return e
	}
	return nil
}

// extremes counts the usable minima and maxima.
func extremes(s weather.Series) (low, high int) {
	for _, d := range s.Days {
		if d.MinFlags.Usable() {
			low++
		}
		if d.MaxFlags.Usable() {
			high++
		}
	}
	return low, high
}

// bestYear returns the largest share of observed days, both extremes of which
// are usable, in any 365 days running.
func bestYear(s weather.Series) float64 {
	best, n := 0, 0
	seen := func(d weather.Day) bool { return d.Usable() && !d.Estimated() }
	for i, d := range s.Days {
		if seen(d) {
			n++
		}
		if i >= fullYear && seen(s.Days[i-fullYear]) {
			n--
		}
		best = max(best, n)
	}
	return float64(best) / fullYear
}

// Clean returns a copy of a series in which every value outside
// weather.Coldest..Hottest and both extremes of every day with TMIN above TMAX
// are rejected, with the number of each. Collect does the same while it still
// knows the lines.
func Clean(s weather.Series) (out weather.Series, outOfRange, disordered int) {
	out = s
	out.Days = append([]weather.Day(nil), s.Days...)
	for i := range out.Days {
		d := &out.Days[i]
		outOfRange += reject(&d.MinFlags, d.Min) + reject(&d.MaxFlags, d.Max)
		if d.MinFlags.Usable() && d.MaxFlags.Usable() && d.Min > d.Max {
			d.MinFlags |= weather.Rejected
			d.MaxFlags |= weather.Rejected
			disordered++
		}
	}
	return out, outOfRange, disordered
}

func reject(f *weather.Flags, t weather.Celsius) int {
	if !f.Usable() || t >= weather.Coldest && t <= weather.Hottest {
		return 0
	}
	*f |= weather.Rejected
	return 1
}
