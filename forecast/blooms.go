package forecast

import (
	"cmp"
	"slices"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// BloomWindow is the next bloom of one plant over all members.
type BloomWindow struct {
	Plant, Taxon     string
	Year             int // plant year
	First, Full, End Window
	Status           phenology.Status
	Source           string
	Feeds            bool // a stand of it makes nectar for the apiary
	Seen             bool // the keeper's own dates tell first bloom, and not the row

	firsts  []weather.Date // first bloom in the members that reach it
	members int
}

// By returns the share of members, 0 to 1, in which the plant has come into
// first bloom by the end of a day.
func (b BloomWindow) By(d weather.Date) float64 {
	n := 0
	for _, first := range b.firsts {
		if first <= d {
			n++
		}
	}
	return float64(n) / float64(max(b.members, 1))
}

// bloomTable holds every bloom by plant, member and year after the present.
type bloomTable struct {
	years  int
	blooms [][]yearBlooms    // [plant][member]
	seen   [][planYears]bool // blooms that the keeper's dates tell, and not the row
}

// yearBlooms are the blooms of one plant in one member, by year after the
// present; ok tells which were reached.
type yearBlooms [planYears]struct {
	bloom phenology.Bloom
	ok    bool
}

// planYears are forecast: the present plant year and the next.
const planYears = 2

// predict runs every model through every member, each Clock once a member.
func predict(plants []phenology.Model, e Ensemble) bloomTable {
	t := bloomTable{years: planYears, blooms: make([][]yearBlooms, len(plants)), seen: make([][planYears]bool, len(plants))}
	for p := range plants {
		t.blooms[p] = make([]yearBlooms, len(e.Members))
	}
	factors := make([][]float64, len(plants))
	for p, m := range plants {
		factors[p] = scales(m, len(e.Members))
	}
	var counter phenology.Counter
	scaled := make([]phenology.Model, len(plants))
	for i, member := range e.Members {
		for p, m := range plants {
			scaled[p] = m.Scaled(factors[p][i])
		}
		counter.Blooms(scaled, member.Season, e.Year, e.Year+planYears-1, func(p, year int, b phenology.Bloom, ok bool) {
			y := &t.blooms[p][i][year-e.Year]
			y.bloom, y.ok = b, ok
		})
	}
	return t
}

// next returns the year after the present, 0 or 1, of the plant's next bloom:
// the present one unless most members have seen its end before the issue date.
func (t bloomTable) next(p int, issue weather.Date) int {
	over, reached := 0, 0
	for _, y := range t.blooms[p] {
		if !y[0].ok {
			continue
		}
		reached++
		if y[0].bloom.End < issue {
			over++
		}
	}
	if 2*over > reached {
		return 1
	}
	return 0
}

// windows summarises the next bloom of plant p.
func (t bloomTable) windows(m phenology.Model, p int, e Ensemble) BloomWindow {
	k := t.next(p, e.Issue)
	var first, full, end []weather.Date
	for _, y := range t.blooms[p] {
		if !y[k].ok {
			continue
		}
		first = append(first, y[k].bloom.Onset)
		full = append(full, y[k].bloom.Peak)
		end = append(end, y[k].bloom.End)
	}
	n := len(e.Members)
	return BloomWindow{
		Plant: m.Plant, Taxon: m.Taxon, Year: e.Year + k, Status: m.Status, Source: m.Source,
		First: NewWindow(first, n), Full: NewWindow(full, n), End: NewWindow(end, n),
		Seen: t.seen[p][k], firsts: first, members: n,
	}
}

// sortBlooms puts blooms in the order of first bloom, plants that do not reach
// it last.
func sortBlooms(b []BloomWindow) {
	slices.SortStableFunc(b, func(x, y BloomWindow) int {
		if (x.First.Share == 0) != (y.First.Share == 0) {
			return cmp.Compare(y.First.Share, x.First.Share)
		}
		return cmp.Compare(x.First.Likely, y.First.Likely)
	})
}
