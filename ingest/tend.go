package ingest

import (
	"fmt"
	"slices"
	"strings"

	"bloomtide/ingest/fill"
	"bloomtide/ingest/qc"
	"bloomtide/ingest/weather"
)

// TendOptions of Tend; the zero value means the stated defaults.
type TendOptions struct {
	Near      func(i int) []int // the neighbours of record i, the nearest first; nil for none
	Fill      fill.Options
	UndoShift bool // move an extreme that stands on the wrong day back
	NoFill    bool // check only
}

// Tended is a record that was checked and filled.
type Tended struct {
	Record
	Checks    qc.Result       // findings; its series still has the gaps
	FromNear  fill.NearReport // estimates made from neighbours
	FromOwn   fill.Count      // estimates made from the record itself
	Neighbour []string        // identifiers of the neighbours that were compared
}

// Tend checks the records of Collect, read with NoFill, against themselves and
// their neighbours, then fills gaps: from neighbours first, which beat a
// straight line even over a single day (measured in the tests of this package),
// then from the record itself. Neighbours are compared as they were read, with
// what the checks of their own record reject left out.
func Tend(records []Record, o TendOptions) []Tended {
	out := make([]Tended, len(records))
	alone := make([]weather.Series, len(records))
	for i, r := range records {
		out[i].Record = r
		out[i].Checks = qc.Station(r.Series, qc.Options{})
		alone[i] = out[i].Checks.Series
	}
	checked := make([]weather.Series, len(records))
	for i := range out {
		near := neighboursOf(i, alone, o.Near)
		for _, s := range near {
			out[i].Neighbour = append(out[i].Neighbour, s.Site.ID)
		}
		if len(near) > 0 {
			out[i].Checks = qc.Station(records[i].Series, qc.Options{Neighbours: near, UndoShift: o.UndoShift})
		}
		checked[i] = out[i].Checks.Series
	}
	for i := range out {
		out[i].fill(checked, i, o)
	}
	return out
}

func neighboursOf(i int, all []weather.Series, near func(int) []int) []weather.Series {
	if near == nil {
		return nil
	}
	var out []weather.Series
	for _, k := range near(i) {
		if k != i {
			out = append(out, all[k])
		}
	}
	return out
}

// fill fills a checked record and counts its days anew.
func (t *Tended) fill(checked []weather.Series, i int, o TendOptions) {
	s := checked[i]
	if !o.NoFill {
		if near := neighboursOf(i, checked, o.Near); len(near) > 0 {
			s, t.FromNear = fill.Near(s, near, fill.NearOptions{})
		}
		s, t.FromOwn = fill.Series(s, o.Fill)
	}
	t.Series = s
	t.Report.Days, t.Report.Estimated, t.Report.Missing = 0, 0, 0
	t.Report.measure(s)
}

// Summary counts the findings of the checks on one line, "" where there are
// none: how many of each check, the most first.
func Summary(counts map[string]int) string {
	var names []string
	for _, c := range qc.Checks() {
		if counts[c.Name] > 0 {
			names = append(names, c.Name)
		}
	}
	slices.SortStableFunc(names, func(a, b string) int { return counts[b] - counts[a] })
	for i, n := range names {
		names[i] = fmt.Sprintf("%s %d", n, counts[n])
	}
	return strings.Join(names, ", ")
}
