package forecast

import (
	"cmp"
	"math"
	"slices"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// Task is work at the hive with its window over all members.
type Task struct {
	Kind   hive.Kind
	N      int // which of several of its kind, from 1
	Year   int // plant year
	Window Window
	Until  weather.Date // median last day of a watch, 0 for work of a single day
	Why    hive.Reason

	Check, Late, Care hive.Reason // what to look for, what to do when late, what to beware; may be empty
}

// Plan bounds, days.
const (
	aheadDays   = 365 // tasks are listed this far beyond the issue date
	overdueDays = 14  // and this far back, so that late work is seen
	waitShare   = 0.5 // of members with a task from which other work waits for it; our own choice
)

type taskKey struct {
	kind hive.Kind
	n    int
}

// tasks gathers the events of one plant year over all members.
func tasks(played []hive.Year, year int, f hive.Facts) []Task {
	due := map[taskKey][]weather.Date{}
	until := map[taskKey][]float64{}
	for _, y := range played {
		for _, e := range y.Events {
			k := taskKey{e.Kind, e.N}
			due[k] = append(due[k], e.Day)
			if e.Until != 0 {
				until[k] = append(until[k], float64(e.Until))
			}
		}
	}
	var out []Task
	for k, d := range due {
		a := hive.Advise(k.kind, k.n, f)
		t := Task{Kind: k.kind, N: k.n, Year: year, Window: NewWindow(d, len(played)), Why: a.Why, Check: a.Check, Late: a.Late, Care: a.Care}
		if u := until[k]; len(u) > 0 {
			t.Until = weather.Date(Median(u))
		}
		if t.Window.Share >= leastTaskShare {
			out = append(out, t)
		}
	}
	inOrder(out)
	return out
}

// inOrder keeps numbered work in the order of its numbers, and work after what
// it waits for. Fewer members need a twelfth super than an eleventh, and those
// may be the early ones; a member without a harvest takes its supers off early.
func inOrder(all []Task) {
	slices.SortFunc(all, func(a, b Task) int { return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.N, b.N)) })
	for i := 1; i < len(all); i++ {
		if k := all[i].Kind; all[i-1].Kind == k && k != hive.Harvest && k != hive.HarvestCheck { // those are numbered by crop
			all[i].Window.notBefore(all[i-1].Window)
		}
	}
	for _, pair := range [][2]hive.Kind{
		{hive.BuildUp, hive.SwarmWatch}, {hive.ExcluderOn, hive.SuperOn}, {hive.SuperOn, hive.LastSuper}, {hive.SuperOn, hive.SupersOff},
		{hive.HarvestCheck, hive.Harvest}, {hive.Harvest, hive.SupersOff}, {hive.SupersOff, hive.ExcluderOff},
		{hive.SupersOff, hive.EntranceReducer}, {hive.SupersOff, hive.StarvationWatch}, {hive.SupersOff, hive.AutumnStoresCheck},
		{hive.AutumnStoresCheck, hive.FeedSyrup}, {hive.AutumnStoresCheck, hive.LastSyrup}, {hive.ExcluderOff, hive.WinterClosed},
		{hive.LastSyrup, hive.WinterClosed}, {hive.LastFrames, hive.WinterClosed},
	} {
		for _, first := range all {
			if first.Kind != pair[0] || first.Window.Share < waitShare {
				continue
			}
			for i := range all {
				if all[i].Kind == pair[1] && waits(first, all[i]) {
					all[i].Window.notBefore(first.Window)
				}
			}
		}
	}
}

// waits reports whether a task waits for another of a kind that goes before
// it: a harvest for the look at its own crop, a watch for the supers only where
// it is the one after them.
func waits(first, then Task) bool {
	switch then.Kind {
	case hive.Harvest:
		return first.N == then.N
	case hive.StarvationWatch:
		return then.N > 1
	case hive.SuperOn:
		return first.N == 1
	default:
		return true
	}
}

// facts are the middle values that reasons quote.
func facts(played []hive.Year, flows []FlowWindow, a Apiary) hive.Facts {
	f := hive.Facts{Setup: a.Setup, Relative: a.Relative, Shape: flow.Middling}
	for _, w := range flows {
		if w.Name == mainFlow {
			f.FlowStart, f.FlowEnd = w.Start.Likely, w.End.Likely
			f.EffectiveDays, f.Shape = w.EffectiveDays[1], w.Shape
		}
	}
	var supers, stores, starts, ends, have, syrup []float64
	for _, y := range played {
		if y.HasFlow {
			starts, ends = append(starts, float64(y.CropStart)), append(ends, float64(y.CropEnd))
		}
		supers = append(supers, float64(y.Supers))
		if y.StoresKg > 0 {
			stores, have = append(stores, y.StoresKg), append(have, y.HaveKg)
		}
		if y.SyrupKg > 0 {
			syrup = append(syrup, y.SyrupKg)
		}
	}
	f.NoWinter = float64(len(stores)) < waitShare*float64(len(played))
	f.Supers, f.StoresKg, f.HaveKg, f.SyrupKg = Median(supers), Median(stores), Median(have), Median(syrup)
	if len(starts) > 0 {
		f.CropStart, f.CropEnd = weather.Date(math.Round(Median(starts))), weather.Date(math.Round(Median(ends)))
	}
	return f
}

// place is the kind that the task stands beside where two fall on one day.
func (t Task) place() hive.Kind {
	if t.Kind == hive.StarvationWatch && t.N > 1 {
		return hive.EntranceReducer
	}
	return t.Kind
}

// stands reports whether the task is still worth a line: to a little after its
// last day, or the end of a watch.
func (t Task) stands(issue weather.Date) bool {
	return max(t.Window.Late, t.Until) >= issue-overdueDays
}

// upcoming keeps the tasks that a keeper can still act on within a year, in
// the order of their dates.
func upcoming(all []Task, issue weather.Date) []Task {
	var out []Task
	for _, t := range all {
		if t.stands(issue) && t.Window.Likely <= issue+aheadDays {
			out = append(out, t)
		}
	}
	order := map[hive.Kind]int{}
	for i, k := range hive.Kinds() {
		order[k] = i
	}
	slices.SortFunc(out, func(a, b Task) int {
		return cmp.Or(cmp.Compare(a.Window.Likely, b.Window.Likely), cmp.Compare(order[a.place()], order[b.place()]), cmp.Compare(a.N, b.N))
	})
	return out
}
