package forecast

import (
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// How gains are read as comb above the excluder. Our own choices.
const (
	aboveShare  = 0.95 // of the gain that goes above the excluder where there is room
	ripeningFor = 3    // days that nectar takes up more comb than its honey will
)

// addNeed adds the comb that one crop after the other wants above the
// excluder, dm², to a column over the season. A harvest empties the comb.
//
//	fresh  comb of nectar that is not ripe, dm² for kg
func addNeed(need []float64, c hive.Course, y hive.Year, fresh func(kg float64) float64) {
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
			need[i] = max(need[i], combDm2(c, from, min(d, y.CropEnd), fresh))
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

// combDm2 returns the comb above the excluder in use at the end of day d when
// gathering began on day from, dm².
func combDm2(c hive.Course, from, d weather.Date, unripe func(kg float64) float64) float64 {
	ripe, fresh := 0.0, 0.0
	for t := max(from, c.Season.Start); t <= d; t++ {
		kg := aboveShare * max(c.GainKg[t-c.Season.Start], 0)
		if t > d-ripeningFor {
			fresh += kg
		} else {
			ripe += kg
		}
	}
	return ripe/hive.HoneyKgPerDm2 + unripe(fresh)
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
