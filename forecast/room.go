package forecast

import (
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// addNeed adds the comb that one crop after the other wants above the
// excluder, dm², to a column over the season. A harvest empties the comb.
//
//	comb  of a course from one day to another, dm²
func addNeed(need []float64, c hive.Course, y hive.Year, comb func(c hive.Course, from, d weather.Date) float64) {
	if !y.HasFlow || y.CropEnd == 0 {
		return
	}
	emptied, off := harvestDays(y)
	from := y.CropStart
	for d := y.CropStart; d <= off && int(d-c.Season.Start) < len(need); d++ {
		if emptied[d] {
			from = d
		}
		if i := int(d - c.Season.Start); i >= 0 {
			need[i] = max(need[i], comb(c, from, min(d, y.CropEnd)))
		}
	}
}

// harvestDays returns the days on which supers are emptied and the day they
// come off.
func harvestDays(y hive.Year) (emptied map[weather.Date]bool, off weather.Date) {
	emptied, off = map[weather.Date]bool{}, y.CropEnd
	for _, e := range y.Events {
		switch e.Kind {
		case hive.Harvest:
			emptied[e.Day] = true
		case hive.SupersOff:
			off = e.Day
		}
	}
	return emptied, off
}

// afterWinterDays is how long the reserve stays on show after the first income,
// days. Our own choice.
const afterWinterDays = 45

// addStores adds the honey that the rest of a winter takes, kg, to a column
// over the season: what is wanted, from the day it is weighed to the last day
// for syrup; eaten at an even rate until the first income after mid-winter;
// then the reserve.
func addStores(stores []float64, c hive.Course, y hive.Year) {
	weighed, ok := day(y, hive.AutumnStoresCheck)
	last, syrup := day(y, hive.LastSyrup)
	if !ok || !syrup || y.StoresKg <= 0 {
		return
	}
	spring := phenology.YearStart(c.Season.LatDeg, phenology.YearOf(c.Season.LatDeg, last)+1)
	for spring < c.Season.End() && c.GainKg[spring-c.Season.Start] < 0 {
		spring++
	}
	eaten := y.StoresKg - hive.ReserveKg
	for d := max(weighed, c.Season.Start); d <= min(spring+afterWinterDays, c.Season.End()-1); d++ {
		share := float64(d-last) / float64(max(spring-last, 1))
		stores[d-c.Season.Start] = y.StoresKg - eaten*min(max(share, 0), 1)
	}
}

// day returns the first day of an event of a kind.
func day(y hive.Year, k hive.Kind) (weather.Date, bool) {
	for _, e := range y.Events {
		if e.Kind == k {
			return e.Day, true
		}
	}
	return 0, false
}
