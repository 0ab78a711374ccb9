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
	}
	r, err := c.finish(st)
	if len(s.Sources) > 0 {
		r.Series.Sources = slices.Clone(s.Sources)
	}
	return r, err
}
