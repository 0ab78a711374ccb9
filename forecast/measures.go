package forecast

import (
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// Measures are what one season is compared with another by: those of the plant
// year of the next main flow, over all members.
type Measures struct {
	Year       int
	Odds       float64 // share of members with a main flow, 0 to 1
	Flows      Spread  // nectar flows in the year
	Dearths    Spread  // dearths between the first and the last of them
	DearthDays Spread  // days in dearth
	Supers     Spread  // supers wanted for all crops
	StoresKg   Spread  // honey wanted before winter, kg; NaN where no winter closes the hive

	// WorstTenDm2 is the most comb above the excluder that ten days in a row
	// ask for beyond what was wanted before, dm²; not to be shown where
	// Relative.
	WorstTenDm2 Spread

	// VisitDays is the longest interval between visits that still prevents
	// congestion in nine of ten members, days, at least 1: no stretch so long
	// asks for more new comb than the two supers a visit leaves empty, and none
	// is longer than the look for queen cells allows. Nectar counts as squeezed
	// into full cells: bees spread it thin while there is room, and a hive is
	// congested only where that room is gone.
	VisitDays float64
}

const (
	worstDays = 10 // days in a row that are looked at together

	// supersAVisit go on at once at most where visits are far apart (common
	// practice, no source).
	supersAVisit = 2
)

// measures summarises one plant year.
func measures(all []hive.Course, played []hive.Year, year int, flows []FlowWindow) Measures {
	m := Measures{Year: year}
	var n, gaps, gapDays, supers, stores, worst, visits []float64
	main, _ := mainOf(flows)
	most := float64(hive.CheckEveryDays(main.Shape))
	for i, y := range played {
		c := all[i]
		if y.HasFlow {
			m.Odds += 1 / float64(len(played))
		}
		n, supers = append(n, float64(len(y.Flows))), append(supers, float64(y.Supers))
		d := c.Setup.Rules.Dearths(c.GainKg, c.Season.Start, y.Flows)
		gaps = append(gaps, float64(len(d)))
		gapDays = append(gapDays, lengthOf(d))
		if y.StoresKg > 0 {
			stores = append(stores, y.StoresKg)
		}
		worst = append(worst, steepest(raised(c, y, hive.Course.CombDm2), worstDays))
		visits = append(visits, lasts(raised(c, y, hive.Course.SqueezedDm2), supersAVisit*c.Setup.Super.AreaDm2(), most))
	}
	m.Flows, m.Dearths, m.DearthDays = NewSpread(n), NewSpread(gaps), NewSpread(gapDays)
	m.Supers, m.StoresKg, m.WorstTenDm2 = NewSpread(supers), NewSpread(stores), NewSpread(worst)
	m.VisitDays = max(float64(int(NewSpread(visits)[0])), 1)
	return m
}

func lengthOf(d []flow.Dearth) float64 {
	sum := 0.0
	for _, x := range d {
		sum += float64(x.To - x.From)
	}
	return sum
}

// raised returns the comb wanted above the excluder over a course, dm², each
// value the highest so far: comb once given stays on the hive.
//
//	comb  of a course from one day to another, dm²
func raised(c hive.Course, y hive.Year, comb func(c hive.Course, from, d weather.Date) float64) []float64 {
	need := make([]float64, len(c.GainKg))
	addNeed(need, c, y, comb)
	for i := 1; i < len(need); i++ {
		need[i] = max(need[i], need[i-1])
	}
	return need
}

// steepest returns the largest rise of a column over n days.
func steepest(need []float64, n int) float64 {
	most := 0.0
	for i := range need {
		most = max(most, need[i]-need[max(i-n, 0)])
	}
	return most
}

// lasts returns the longest interval, days up to most, over which a column
// never rises by more than room.
func lasts(need []float64, room, most float64) float64 {
	for n := 1; n <= int(most); n++ {
		if steepest(need, n) > room {
			return float64(n - 1)
		}
	}
	return most
}
