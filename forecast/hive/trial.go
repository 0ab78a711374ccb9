package hive

import (
	"bloomtide/forecast/colony"
	"bloomtide/ingest/weather"
)

// Practice is how a keeper works through a season, without knowing it
// beforehand.
type Practice struct {
	Name       string
	Upfront    int // supers put on together before the first crop; default 1
	MostSupers int // supers owned for the hive; 0: as many as it takes
	VisitDays  int // days between visits from the swarm season to the end of the crops; 0: never
}

// Outcome is what a practice makes of one plant year in one course.
type Outcome struct {
	HasFlow       bool
	BoundDays     int     // days honey-bound to the point of acting, in the laying season
	HoneyBound    bool    // enough of them to cost brood
	CongestedDays int     // days congested to the point of acting
	SwarmDays     int     // of them those in the swarm season
	HarvestKg     float64 // honey taken
	UnripeKg      float64 // of it not ripe
	Supers        int     // on the hive at the end
	Openings      int     // times the hive was opened
	LiftedKg      float64 // supers lifted off and on, each counted once a visit
	WinterKg      float64 // honey in the brood boxes when it is weighed in autumn
	WantKg        float64 // honey wanted then; 0 where no winter closes the hive
	SyrupL        float64 // two to one fed: in autumn what is missing, and against starving
	Short         bool    // less is there than is wanted
}

// boundDays in one season make a hive honey-bound: a third of the 21 days of a
// brood cycle, in which the queen finds no cells. Our own choice.
const boundDays = 7

// Judging and lifting. Our own choices, but for the wood, which is weighed.
const (
	addAtShare   = 0.5     // of the supers in use at which a visitor adds one (keepers' guides: one half to two thirds)
	ripeShare    = 2.0 / 3 // of a super ripe at which its ripe combs are taken (a national standard asks for two thirds capped)
	seldomDays   = 7       // visits farther apart call for two at once (keepers' guides)
	emptySuperKg = 5.0     // an empty half-depth super of ten frames weighs 3.9 to 4.8 kg, weighed on a scale (read)
)

// Try plays a practice through plant year y of a course. The dates of crops
// and harvest are those of the course; all between is what the keeper sees on
// a visit.
func (c Course) Try(p Practice, y int) Outcome {
	t := trial{c: c, p: p, year: c.plan(y), life: colony.NewLife(c.world, c.Setup.hive())}
	t.life.SetStores(c.startKg())
	t.out.HasFlow, t.out.WantKg = t.year.HasFlow, t.year.StoresKg
	t.dates()
	r := c.season(t.year).within(c.Season)
	before := c.season(Year{year: y - 1}).within(c.Season)
	for d := before.from; d < r.to; d++ {
		t.day(d, d >= r.from)
	}
	t.out.HoneyBound = t.out.BoundDays >= boundDays
	t.out.Supers = t.most
	return t.out
}

// trial is a practice on its way through a year.
type trial struct {
	c    Course
	p    Practice
	year Year
	life *colony.Life
	out  Outcome

	on, off, check weather.Date          // first supers, supers off, look at stores
	harvests       map[weather.Date]bool // other than the last
	supers, most   int
	next           weather.Date // visit
}

// dates takes the year's fixed days from the plan.
func (t *trial) dates() {
	t.harvests = map[weather.Date]bool{}
	t.next = t.year.CropStart - SwarmBeforeDays
	for _, e := range t.year.Events {
		switch e.Kind {
		case SuperOn:
			if e.N == 1 {
				t.on = e.Day
			}
		case Harvest:
			t.harvests[e.Day] = true
		case SupersOff:
			t.off = e.Day
		case AutumnStoresCheck:
			t.check = e.Day
		}
	}
}

// day lives through one day; the keeper comes in the year of the trial only.
func (t *trial) day(d weather.Date, now bool) {
	i := int(d - t.c.Season.Start)
	if now {
		t.tend(d)
	}
	if t.life.StoresKg() < brinkKg { // starving colonies are fed, whatever the practice
		fed := t.life.Feed(brinkKg)
		if now {
			t.out.SyrupL += fed * Facts{}.litresPerKg()
		}
	}
	t.life.Step(i)
	if now {
		t.judge(d)
	}
}

func (t *trial) tend(d weather.Date) {
	if t.year.HasFlow {
		switch {
		case d == t.off:
			t.take(t.life.SupersOff())
			t.supers = 0
		case t.harvests[d]:
			t.take(t.life.TakeHoney())
		case d == t.on:
			t.open()
			t.add(max(t.p.Upfront, 1))
		case t.p.VisitDays > 0 && d >= t.next && d <= t.year.CropEnd:
			t.visit(d)
		}
	}
	if d == t.check && t.year.StoresKg > 0 {
		t.out.WinterKg = t.life.NestKg()
		missing := max(t.year.StoresKg-t.out.WinterKg, 0)
		t.out.SyrupL += missing * Facts{}.litresPerKg()
		t.out.Short = missing > 0
		t.life.Feed(missing)
	}
}

// visit opens the hive and adds supers where those on it are half used.
func (t *trial) visit(d weather.Date) {
	t.next = d + weather.Date(t.p.VisitDays)
	t.open()
	if t.supers == 0 {
		if d < t.on && t.congestion() >= t.c.Setup.Tuning.Warn { // nectar creeps into the nest before the day planned
			t.on = d
			t.add(max(t.p.Upfront, 1))
		}
		return
	}
	use := t.life.SuperUse(t.c.Setup.Tuning)
	if use.Honey+use.Unripe < addAtShare*t.life.SuperDm2 {
		return
	}
	if t.p.MostSupers > 0 && t.supers >= t.p.MostSupers {
		t.exchange()
		return
	}
	if d > t.year.CropEnd-StopAddingDays && d > t.year.CropStart {
		return
	}
	n := 1
	if t.p.VisitDays > seldomDays || use.Empty <= 0 {
		n = 2
	}
	t.add(n)
}

// congestion returns the congestion that a visitor sees, 0 to 1.
func (t *trial) congestion() float64 {
	tuning := t.c.Setup.Tuning
	return t.life.Congestion(tuning, cellsPerDm2).Worst(tuning)
}

// exchange takes ripe combs for empty ones where no super is left to add: in a
// slow flow honey ripens between two visits, in a sharp one it does not. While
// much of the super is unripe only what is capped is sure to be ripe.
func (t *trial) exchange() {
	if t.life.SuperUnripe > (1-ripeShare)*t.life.SuperKg() {
		t.out.HarvestKg += t.life.TakeCapped()
		return
	}
	t.out.HarvestKg += t.life.TakeRipe()
}

// open counts an opening and the supers that are lifted for it.
func (t *trial) open() {
	t.out.Openings++
	t.out.LiftedKg += float64(t.supers)*emptySuperKg + t.life.SuperKg()
}

func (t *trial) add(n int) {
	if t.p.MostSupers > 0 {
		n = min(n, t.p.MostSupers-t.supers)
	}
	n = max(min(n, maxSupers-t.supers), 0)
	t.supers += n
	t.most = max(t.most, t.supers)
	for range n {
		t.life.AddSuper(t.c.Setup.Super.AreaDm2(), 1-t.c.Setup.Foundation)
	}
}

func (t *trial) take(h colony.Harvest) {
	t.out.Openings++
	t.out.LiftedKg += float64(t.supers)*emptySuperKg + h.Kg()
	t.out.HarvestKg += h.Kg()
	t.out.UnripeKg += h.UnripeKg
}

// judge counts the day's congestion, from the swarm season to the end of the
// crops: honey about the nest before is what is left of the winter's.
func (t *trial) judge(d weather.Date) {
	if t.life.State.Season < layingSeason || d < t.year.CropStart-SwarmBeforeDays || d > t.year.CropEnd {
		return
	}
	tuning := t.c.Setup.Tuning
	score := t.life.Congestion(tuning, cellsPerDm2)
	if score.Bound >= tuning.Act {
		t.out.BoundDays++
	}
	if score.Worst(tuning) >= tuning.Act {
		t.out.CongestedDays++
		if d <= t.year.Main.Start+SwarmAfterDays {
			t.out.SwarmDays++
		}
	}
}
