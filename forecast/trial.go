package forecast

import (
	"math"

	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// SetUp is a hive with the way it is worked, as a trial compares them.
type SetUp struct {
	Name     string
	Hive     hive.Setup // boxes; what it does not set is the apiary's
	Practice hive.Practice
}

// Result is what one set-up does at one place, over all members.
type Result struct {
	Place    string
	SetUp    SetUp
	Year     int  // plant year
	Members  int  // courses of weather that were played
	Invented bool // a place of the demo
	Relative bool // cover not known: no kilograms of honey are to be shown

	HoneyBoundShare float64 // of the members, 0 to 1
	ShortShare      float64 // of the members with less than the winter wants, 0 to 1

	BoundDays, CongestedDays, SwarmDays Spread
	HarvestKg, UnripeKg                 Spread
	Supers, Openings, LiftedKg          Spread
	WinterKg, WantKg, SyrupL            Spread
}

// Trial plays every set-up through every member at one place, in the plant
// year of the next main flow.
//
//	s      clean daily record of the place, with its latitude
//	issue  the issue date: nothing on or after it is used as observed
//
// The error is a *FewYearsError when the record is too short.
func Trial(a Apiary, s weather.Series, issue weather.Date, setups []SetUp) ([]Result, error) {
	e, err := NewEnsemble(s, issue)
	if err != nil {
		return nil, err
	}
	a.Setup = a.Setup.WithDefaults()
	a.Setup.Log = hive.Log{}
	sugar, _ := supplies(a, e, predict(a.Plants, e))
	out := make([]Result, len(setups))
	for i, set := range setups {
		out[i] = try(a, e, sugar, set)
	}
	return out, nil
}

// boxed returns the apiary's set-up with the boxes of a trial.
func (s SetUp) boxed(a hive.Setup) hive.Setup {
	if s.Hive.BroodBox.Frames > 0 {
		a.BroodBox = s.Hive.BroodBox
	}
	if s.Hive.Super.Frames > 0 {
		a.Super = s.Hive.Super
	}
	if s.Hive.BroodBoxes > 0 {
		a.BroodBoxes = s.Hive.BroodBoxes
	}
	a.Foundation = s.Hive.Foundation
	return a
}

// try plays one set-up through all members.
func try(a Apiary, e Ensemble, sugar [][]float64, set SetUp) Result {
	set.Hive = set.boxed(a.Setup)
	courses := make([]hive.Course, len(e.Members))
	for i, m := range e.Members {
		courses[i] = hive.NewCourse(set.Hive, m.Season, sugar[i])
	}
	year := e.Year
	if over(courses, year, e.Issue) {
		year++
	}
	r := Result{Place: a.Name, SetUp: set, Year: year, Members: len(courses), Invented: a.Invented, Relative: a.Relative}
	all := make([]hive.Outcome, len(courses))
	for i, c := range courses {
		all[i] = c.Try(set.Practice, year)
	}
	r.gather(all)
	return r
}

// over reports whether most members have seen the end of the year's main flow
// before the issue date.
func over(courses []hive.Course, year int, issue weather.Date) bool {
	n := 0
	for _, c := range courses {
		if y := c.Play(year); y.HasFlow && y.CropEnd < issue {
			n++
		}
	}
	return 2*n > len(courses)
}

// gather summarises the members' outcomes.
func (r *Result) gather(all []hive.Outcome) {
	spread := func(of func(hive.Outcome) float64) Spread {
		x := make([]float64, len(all))
		for i, o := range all {
			x[i] = of(o)
		}
		return NewSpread(x)
	}
	share := func(of func(hive.Outcome) bool) float64 {
		n := 0
		for _, o := range all {
			if of(o) {
				n++
			}
		}
		return float64(n) / math.Max(float64(len(all)), 1)
	}
	r.HoneyBoundShare = share(func(o hive.Outcome) bool { return o.HoneyBound })
	r.ShortShare = share(func(o hive.Outcome) bool { return o.Short })
	r.BoundDays = spread(func(o hive.Outcome) float64 { return float64(o.BoundDays) })
	r.CongestedDays = spread(func(o hive.Outcome) float64 { return float64(o.CongestedDays) })
	r.SwarmDays = spread(func(o hive.Outcome) float64 { return float64(o.SwarmDays) })
	r.HarvestKg = spread(func(o hive.Outcome) float64 { return o.HarvestKg })
	r.UnripeKg = spread(func(o hive.Outcome) float64 { return o.UnripeKg })
	r.Supers = spread(func(o hive.Outcome) float64 { return float64(o.Supers) })
	r.Openings = spread(func(o hive.Outcome) float64 { return float64(o.Openings) })
	r.LiftedKg = spread(func(o hive.Outcome) float64 { return o.LiftedKg })
	r.WinterKg = spread(func(o hive.Outcome) float64 { return o.WinterKg })
	r.WantKg = spread(func(o hive.Outcome) float64 { return o.WantKg })
	r.SyrupL = spread(func(o hive.Outcome) float64 { return o.SyrupL })
}
