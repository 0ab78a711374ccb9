package hive

import (
	"cmp"
	"math"
	"slices"

	"bloomtide/forecast/colony"
	"bloomtide/forecast/honey"
	"bloomtide/ingest/weather"
)

// Day is what one evening finds in a hive that is kept by the plan.
type Day struct {
	StoresKg, NestKg, SuperKg float64 // honey: all, in the brood boxes, in the supers
	UseKg                     float64 // eaten less gained, kg/d; below 0 in a flow
	Bound, Congestion         float64 // scores, 0 to 1
	Adults, BroodFrames       float64
	Laying                    float64 // share of full laying that the season allows, 0 to 1

	Nest, Super        colony.Use // comb below and above the excluder
	BroodBoxes, Supers int        // on the hive
}

// autumn is what a look at the stores finds, kg.
type autumn struct {
	day                   weather.Date
	wantKg, haveKg, fedKg float64
}

// tended is a hive on its way through a course, kept by the plan.
type tended struct {
	*colony.Life
	c      *Course
	supers int
	found  []autumn
}

// managed lives through the course in the keeper's own boxes, with the work of
// the plan done on its days.
func (c *Course) managed() {
	t := &tended{Life: colony.NewLife(c.world, c.Setup.hive()), c: c}
	t.SetStores(c.startKg())
	works, deeds := c.works(), c.Setup.Log.Deeds
	c.Days = make([]Day, c.Season.Len())
	for i := range c.Days {
		d := c.Season.Start + weather.Date(i)
		for len(deeds) > 0 && deeds[0].Day <= d {
			t.apply(deeds[0])
			deeds = deeds[1:]
		}
		for len(works) > 0 && works[0].Day <= d {
			t.do(works[0])
			works = works[1:]
		}
		if t.StoresKg() < brinkKg {
			t.Feed(brinkKg)
		}
		t.Step(i)
		c.Days[i] = t.evening()
	}
	c.autumns = t.found
}

// nestShare of the brood boxes holds honey at mid-winter at the most: the rest
// is the cluster's. Our own choice; more than 20 kg can bind a nest (a hive
// maker's guide, read).
const nestShare = 0.55

// startKg returns the stores with which the keeper's own hive begins, kg: what
// the winter still takes until the first income, and the reserve, as far as
// there is room beside the cluster.
func (c Course) startKg() float64 {
	want := max(c.Setup.Tuning.StartKg, ReserveKg+c.winterUse(c.Season.Start, c.Season.Start))
	return min(want, nestShare*c.Setup.hive().NestDm2*c.Setup.Tuning.HoneyKgPerDm2)
}

// works are the plan's events that change a hive, in the order of their days.
// Where the keeper keeps a log only the log counts before the issue date; what
// was not done then falls due on it.
func (c *Course) works() []Event {
	var out []Event
	log := c.Setup.Log
	for _, y := range c.plans {
		season := c.season(y)
		done := log.count(PutSuper, season.from, season.to)
		over := season.from < log.Upto && log.count(TookSupers, season.from, season.to) > 0
		for _, e := range y.Events {
			switch e.Kind {
			case SuperOn, Harvest, SupersOff, AutumnStoresCheck, LastSyrup:
			default:
				continue
			}
			if log.kept() && e.Day < log.Upto {
				if e.Kind != SuperOn || e.N <= done || over || y.CropEnd < log.Upto {
					continue
				}
				e.Day = log.Upto
			} else if log.kept() && e.Kind == SuperOn && e.N <= done {
				continue
			}
			e.wantKg = y.StoresKg
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Event) int { return cmp.Compare(a.Day, b.Day) })
	return out
}

func (t *tended) do(e Event) {
	switch e.Kind {
	case SuperOn:
		if most := t.c.Setup.MostSupers; most > 0 && t.supers >= most {
			return
		}
		t.supers++
		t.AddSuper(t.c.Setup.Super.AreaDm2(), 1-t.c.Setup.Foundation)
	case Harvest:
		t.TakeHoney()
	case SupersOff:
		t.SupersOff()
		t.supers = 0
	case AutumnStoresCheck:
		have := t.NestKg()
		t.found = append(t.found, autumn{day: e.Day, wantKg: e.wantKg, haveKg: have, fedKg: t.Feed(e.wantKg - have)})
	case LastSyrup: // what was eaten since is made up while syrup is still taken
		fed := t.Feed(e.wantKg - t.NestKg())
		if n := len(t.found); n > 0 {
			t.found[n-1].fedKg += fed
		}
	}
}

// apply does what the log says.
func (t *tended) apply(d Deed) {
	super, frame := t.c.Setup.Super, t.c.Setup.BroodBox.CombDm2
	switch d.Kind {
	case PutSuper:
		t.supers++
		t.AddSuper(super.AreaDm2(), d.Amount/float64(super.Frames))
	case TookSupers:
		t.SupersOff()
		t.supers = 0
	case TookFrames:
		t.TakeFrames(d.Amount * frame)
	case TookHoney:
		t.TakeHoney()
	case FedSyrup:
		t.Feed(d.Amount * honey.Autumn().SugarKgPerL())
	case SawStores:
		t.SetStores(d.Amount)
	default:
		d.found(t.Life, t.c.Setup)
	}
}

func (t *tended) evening() Day {
	tuning := t.c.Setup.Tuning
	score := t.Congestion(tuning, cellsPerDm2)
	return Day{
		StoresKg: t.StoresKg(), NestKg: t.NestKg(), SuperKg: t.SuperKg(), UseKg: -t.GainKg,
		Bound: score.Bound, Congestion: score.Worst(tuning),
		Nest: t.NestUse(tuning, cellsPerDm2), Super: t.SuperUse(tuning), Supers: t.supers,
		BroodBoxes: int(math.Round(t.NestDm2 / t.c.Setup.BroodBox.AreaDm2())),
		Adults:     t.Adults(), BroodFrames: t.Brood() / broodCells(t.c.Setup), Laying: t.State.Season,
	}
}

// On returns the evening of a day; ok is false where the course was not lived
// through or the day lies outside it.
func (c Course) On(d weather.Date) (Day, bool) {
	i := int(d - c.Season.Start)
	if i < 0 || i >= len(c.Days) {
		return Day{}, false
	}
	return c.Days[i], true
}
