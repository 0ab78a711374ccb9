package forecast

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Hang is a row of the forage table that nobody has verified and that moves
// work at the hive: an error of one standard deviation of the row is carried
// through bloom, flow and colony.
type Hang struct {
	Plant string
	Days  float64 // by which first bloom moves, days
	Moves []Move  // the largest first
}

// Move is how far an error of the row moves a task.
type Move struct {
	Kind hive.Kind
	N    int
	Year int     // plant year
	Days float64 // later, below 0 earlier; the middle member's, of either sign the larger
}

const (
	// fewDays is how far a row may move work without a word. Our own choice.
	fewDays = 3

	// hangMembers are played again for each row and sign: enough for the middle
	// of them to tell a move of a few days. Our own choice.
	hangMembers = 5

	// usualSD stands in for the doubt of a row that tells none: that of a row
	// that is an estimate (PHENOLOGY section 4.3).
	usualSD = 0.3
)

// hangs plays a few members again with each unverified row off by its standard
// deviation, either way, and notes what work moves by more than fewDays.
func (f Forecast) hangs(e Ensemble, t bloomTable, played [planYears][]hive.Year) []Hang {
	var rows []int
	for _, b := range f.Blooms {
		if p := f.Apiary.plant(b.Plant); b.Feeds && b.Status == phenology.UnverifiedPrior && !b.Seen {
			rows = append(rows, p)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	again := f.newReplay(e, t, played)
	found := make([]Hang, len(rows))
	var wait sync.WaitGroup
	for i, p := range rows {
		wait.Go(func() { found[i] = again.hang(p) })
	}
	wait.Wait()
	return slices.DeleteFunc(found, func(h Hang) bool { return len(h.Moves) == 0 })
}

// replay plays some members again with one row changed.
type replay struct {
	a       Apiary
	e       Ensemble
	t       bloomTable
	played  [planYears][]hive.Year
	members []int
	wanted  map[taskAt]bool // tasks of the plan
	scale   float64         // of the sugar, as for all members
}

type taskAt struct {
	kind hive.Kind
	n    int
	year int
}

func (f Forecast) newReplay(e Ensemble, t bloomTable, played [planYears][]hive.Year) replay {
	r := replay{a: f.Apiary, e: e, t: t, played: played, wanted: map[taskAt]bool{}}
	_, r.scale = supplies(r.a, e, t)
	if r.a.Relative {
		r.a.Stands = alike(r.a)
	}
	r.a.Setup.Log.Upto = e.Issue
	for i := range min(hangMembers, len(e.Members)) {
		r.members = append(r.members, i*len(e.Members)/min(hangMembers, len(e.Members)))
	}
	for _, task := range f.Tasks {
		if task.Kind == hive.CongestionCheck && task.N > 1 {
			continue // the looks follow the first one, at an interval of their own
		}
		r.wanted[taskAt{task.Kind, task.N, task.Year}] = true
	}
	return r
}

// hang moves the row of plant p both ways.
func (r replay) hang(p int) Hang {
	m := r.a.Plants[p]
	h := Hang{Plant: m.Plant}
	most := map[taskAt]float64{}
	for _, sign := range []float64{1, -1} {
		first, work := r.moved(p, max(1+sign*cmp.Or(m.RelativeSD, usualSD), leastScale))
		h.Days = max(h.Days, math.Abs(first))
		for at, days := range work {
			if math.Abs(days) > math.Abs(most[at]) {
				most[at] = days
			}
		}
	}
	for at, days := range most {
		if math.Abs(days) > fewDays {
			h.Moves = append(h.Moves, Move{at.kind, at.n, at.year, days})
		}
	}
	order := hive.Kinds()
	place := func(m Move) int { return slices.Index(order, m.Kind) }
	slices.SortFunc(h.Moves, func(a, b Move) int {
		return cmp.Or(cmp.Compare(math.Abs(b.Days), math.Abs(a.Days)), cmp.Compare(a.Year, b.Year), cmp.Compare(place(a), place(b)), cmp.Compare(a.N, b.N))
	})
	return h
}

// moved returns by how many days first bloom of plant p and each task move in
// the middle member when the degree days of its row are multiplied by a factor.
func (r replay) moved(p int, factor float64) (first float64, work map[taskAt]float64) {
	days := map[taskAt][]float64{}
	var onsets []float64
	scaled := scales(r.a.Plants[p], len(r.e.Members))
	for _, i := range r.members {
		was := r.t.blooms[p][i]
		now := r.rebloom(p, i, factor*scaled[i])
		k := r.t.next(p, r.e.Issue)
		if was[k].ok && now[k].ok {
			onsets = append(onsets, float64(now[k].bloom.Onset-was[k].bloom.Onset))
		}
		course := hive.NewCourse(r.a.Setup, r.e.Members[i].Season, r.sugar(p, i, now))
		for k := range planYears {
			before := eventDays(r.played[k][i])
			for at, d := range eventDays(course.Play(r.e.Year + k)) {
				at.year = r.e.Year + k
				if b, ok := before[taskAt{kind: at.kind, n: at.n}]; ok && r.wanted[at] {
					days[at] = append(days[at], float64(d-b))
				}
			}
		}
	}
	work = map[taskAt]float64{}
	for at, d := range days {
		if 2*len(d) > len(r.members) {
			work[at] = Median(d)
		}
	}
	if len(onsets) == 0 {
		return 0, work
	}
	return Median(onsets), work
}

// rebloom predicts plant p in member i anew.
func (r replay) rebloom(p, i int, factor float64) yearBlooms {
	m := r.a.Plants[p]
	sums := m.Clock.Sums(r.e.Members[i].Season)
	out := r.t.blooms[p][i]
	for k := range planYears {
		out[k].bloom, out[k].ok = m.Scaled(factor).Predict(sums, r.e.Year+k)
	}
	return out
}

// sugar is the supply of member i with other blooms of plant p, kg a day.
func (r replay) sugar(p, i int, now yearBlooms) []float64 {
	grow := slices.DeleteFunc(growing(r.a, r.t, i), func(g flow.Growing) bool { return g.Stand.Plant == r.a.Plants[p].Plant })
	for _, s := range r.a.Stands {
		for _, y := range now {
			if s.Plant == r.a.Plants[p].Plant && y.ok {
				grow = append(grow, flow.Growing{Stand: s, Bloom: y.bloom})
			}
		}
	}
	out := r.a.Setup.Rules.WithDefaults().Supply(r.e.Members[i].Season, grow)
	for d := range out {
		out[d] *= r.scale
	}
	return out
}

// eventDays are the days of a year's work.
func eventDays(y hive.Year) map[taskAt]weather.Date {
	out := map[taskAt]weather.Date{}
	for _, e := range y.Events {
		out[taskAt{kind: e.Kind, n: e.N}] = e.Day
	}
	return out
}
