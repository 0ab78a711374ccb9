package ingest

import (
	"slices"

	"bloomtide/ingest/weather"
)

// Kept makes a record of a series that was read before and kept, such as one of
// ingest/archive: it fills its gaps and measures it as Collect does. The series
// is not changed. The error is a *PoorDataError where it has not enough days.
func Kept(s weather.Series, o Options) (Record, error) {
	c := &collector{o: o}
	c.keep([]weather.Site{s.Site})
	st := &station{id: s.Site.ID, start: s.Start, cells: make([]cell, len(s.Days))}
	for i, d := range s.Days {
		st.cells[i].day = d
		st.rejected += rejections(d)
	}
	r, err := c.finish(st)
	if len(s.Sources) > 0 {
		r.Series.Sources = slices.Clone(s.Sources)
	}
	return r, err
}

// rejections counts the extremes of a kept day that their publisher rejected:
// both of a day out of order were rejected when it was kept.
func rejections(d weather.Day) (n int) {
	if d.MinFlags&d.MaxFlags&weather.Rejected != 0 && d.Min > d.Max {
		return 0
	}
	for _, f := range []weather.Flags{d.MinFlags, d.MaxFlags} {
		if f&weather.Rejected != 0 {
			n++
		}
	}
	return n
}
