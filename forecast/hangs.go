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
	// of them to tell a move of a few days. A row of which the first few of them
	// show no such move is let be. Our own choices.
	hangMembers  = 5
	firstMembers = 3

	// usualSD stands in for the doubt of a row that tells none: that of a row
	// that is an estimate (PHENOLOGY section 4.3).
	usualSD = 0.3
)

// hangs plays a few members again with each unverified row off by its standard
// deviation, either way, and notes what work moves by more than fewDays.
//
// Work after the plant year of the next main flow is not looked at: the weather
// is cut off there, which halves the time.
func (f Forecast) hangs(e Ensemble, t bloomTable) []Hang {
	var rows []int
	for _, b := range f.Blooms {
		if p := f.Apiary.plant(b.Plant); b.Feeds && b.Status == phenology.UnverifiedPrior && !b.Seen {
			rows = append(rows, p)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	again := f.newReplay(e, t)
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
	members []int
	seasons []phenology.Season        // of the members, cut off
	before  []map[taskAt]weather.Date // days of their work by the row as it stands
	wanted  map[taskAt]bool           // tasks of the plan
	scale   float64                   // of the sugar, as for all members
}

type taskAt struct {
	kind hive.Kind
	n    int
	year int
}

func (f Forecast) newReplay(e Ensemble, t bloomTable) replay {
	r := replay{a: f.Apiary, e: e, t: t, wanted: map[taskAt]bool{}}
	_, r.scale = supplies(r.a, e, t)
	if r.a.Relative {
		r.a.Stands = alike(r.a)
	}
	r.a.Setup.Log.Upto = e.Issue
	last := max(f.Measures.Year, e.Year)
	n := min(hangMembers, len(e.Members))
	for k := range n {
		i := k * len(e.Members) / n
		season := cutOff(e.Members[i].Season, last)
		r.members, r.seasons = append(r.members, i), append(r.seasons, season)
		r.before = append(r.before, r.play(k, growing(r.a, t, i)))
	}
	for _, task := range f.Tasks {
		if task.Kind == hive.CongestionCheck && task.N > 1 {
			continue // the looks follow the first one, at an interval of their own
		}
		r.wanted[taskAt{task.Kind, task.N, task.Year}] = task.Year <= last
	}
	return r
}

// hang moves the row of plant p both ways.
func (r replay) hang(p int) Hang {
	if h := r.hangIn(p, min(firstMembers, len(r.members))); len(h.Moves) == 0 {
		return h
	}
	return r.hangIn(p, len(r.members))
}

// hangIn is hang over the first n members.
func (r replay) hangIn(p, n int) Hang {
	m := r.a.Plants[p]
	h := Hang{Plant: m.Plant}
	most := map[taskAt]float64{}
	for _, sign := range []float64{1, -1} {
		first, work := r.moved(p, n, max(1+sign*cmp.Or(m.RelativeSD, usualSD), leastScale))
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
// the middle of the first n members when the degree days of its row are
// multiplied by a factor.
func (r replay) moved(p, n int, factor float64) (first float64, work map[taskAt]float64) {
	days := map[taskAt][]float64{}
	var onsets []float64
	scaled := scales(r.a.Plants[p], len(r.e.Members))
	for k, i := range r.members[:n] {
		was := r.t.blooms[p][i]
		now := r.rebloom(p, i, factor*scaled[i])
		if y := r.t.next(p, r.e.Issue); was[y].ok && now[y].ok {
			onsets = append(onsets, float64(now[y].bloom.Onset-was[y].bloom.Onset))
		}
		for at, d := range r.play(k, r.regrown(p, i, now)) {
			if b, ok := r.before[k][at]; ok && r.wanted[at] {
				days[at] = append(days[at], float64(d-b))
			}
		}
	}
	work = map[taskAt]float64{}
	for at, d := range days {
		if 2*len(d) > n {
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

// regrown are the blooms of member i with others of plant p.
func (r replay) regrown(p, i int, now yearBlooms) []flow.Growing {
	name := r.a.Plants[p].Plant
	grow := slices.DeleteFunc(growing(r.a, r.t, i), func(g flow.Growing) bool { return g.Stand.Plant == name })
	for _, s := range r.a.Stands {
		for _, y := range now {
			if s.Plant == name && y.ok {
				grow = append(grow, flow.Growing{Stand: s, Bloom: y.bloom})
			}
		}
	}
	return grow
}

// play returns the days of all work in the k-th of the members chosen.
func (r replay) play(k int, grow []flow.Growing) map[taskAt]weather.Date {
	sugar := r.a.Setup.Rules.WithDefaults().Supply(r.seasons[k], grow)
	for d := range sugar {
		sugar[d] *= r.scale
	}
	course := hive.NewCourse(r.a.Setup, r.seasons[k], sugar)
	out := map[taskAt]weather.Date{}
	for y := range planYears {
		for _, e := range course.Play(r.e.Year + y).Events {
			out[taskAt{e.Kind, e.N, r.e.Year + y}] = e.Day
		}
	}
	return out
}

// cutOff returns a season up to the end of a plant year and the winter after it.
func cutOff(s phenology.Season, year int) phenology.Season {
	n := min(int(phenology.YearStart(s.LatDeg, year+1)+afterDays-s.Start), s.Len())
	s.Min, s.Max, s.RainMm = s.Min[:n], s.Max[:n], s.RainMm[:n]
	return s
}
