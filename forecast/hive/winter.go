package hive

import (
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Winter's limits of temperature and its use of stores.
const (
	// SyrupC: syrup is taken on days that reach this. Our own choice just
	// above the 10 °C of common practice.
	SyrupC weather.Celsius = 12
	// SyrupDays so warm must still follow for the syrup to be taken and
	// ripened. Our own choice.
	SyrupDays = 14
	// StoresBeforeDays before the last day for syrup the stores are weighed,
	// so that there is time to feed. Our own choice.
	StoresBeforeDays = 42
	// MouseC: mice move in when nights fall below this (keepers' guides).
	MouseC weather.Celsius = 8
	// ClosedC: below this daily mean a lifted frame chills brood and cluster.
	// Our own choice within the 10 to 14 °C at which the cluster forms.
	ClosedC weather.Celsius = 10

	// A month's use of stores, kg honey, from German keepers' journals.
	broodMonthKg     = 3.0
	broodlessMonthKg = 1.0
	// ReserveKg is kept beyond the expected use, kg. Our own choice.
	ReserveKg = 5.0

	// The broodless months lie around mid-winter: two before it, one after
	// (Moeller 1977: November and December, brood from late December on).
	broodlessBefore = 61 // days
	broodlessAfter  = 31 // days
	monthDays       = 30.4

	// The first cold week is looked for until so many days after mid-winter,
	// since mild places have it late. Our own choice.
	lateWinterDays = 45
	longestWinter  = 240 // days without income that the count goes up to
)

// WinterUseKg returns the stores that a colony eats, kg honey.
//
//	brood, broodless  months with and without brood
func WinterUseKg(brood, broodless float64) float64 {
	return broodMonthKg*brood + broodlessMonthKg*broodless
}

// winter adds the work from the end of the harvest to the closed hive.
func (y *Year) winter(c Course, r dayRange, off weather.Date) {
	autumn := dayRange{max(r.from+lateSummerDay, off), r.to + lateWinterDays}.within(c.Season)
	s := c.Season
	lows := func(d weather.Date) weather.Celsius { return s.Min[d-s.Start] }
	means := func(d weather.Date) weather.Celsius { return s.Mean(int(d - s.Start)) }
	if d, ok := firstColdWeek(autumn, MouseC, lows); ok {
		y.add(MouseGuard, d)
	}
	closed, cold := firstColdWeek(autumn, ClosedC, means)
	if !cold {
		return
	}
	y.add(LastFrames, c.lastFrames(autumn.from, closed))
	y.add(WinterClosed, closed)
	last, ok := lastWithFollowing(s, dayRange{autumn.from, r.to}, SyrupC, SyrupDays)
	if !ok {
		last = autumn.from
	}
	last = min(last, closed)
	y.add(LastSyrup, last)
	y.add(AutumnStoresCheck, min(max(off+1, last-StoresBeforeDays), last))
	y.StoresKg = ReserveKg + c.winterUse(last, phenology.YearStart(s.LatDeg, phenology.YearOf(s.LatDeg, last)+1))
}

// winterUse returns what the colony eats from a day in autumn to the first
// income after mid-winter, kg.
func (c Course) winterUse(from, midwinter weather.Date) float64 {
	to := c.firstIncome(midwinter)
	to = min(to, from+longestWinter)
	broodless := max(0, min(to, midwinter+broodlessAfter)-max(from, midwinter-broodlessBefore))
	brood := to - from - broodless
	return WinterUseKg(float64(brood)/monthDays, float64(broodless)/monthDays)
}

// firstIncome returns the first day from d on that opens three days in a row
// with a net gain, or the end of the season: a lone mild day feeds no colony.
func (c Course) firstIncome(d weather.Date) weather.Date {
	run := 0
	for ; d < c.Season.End(); d++ {
		if c.GainKg[d-c.Season.Start] < 0 {
			run = 0
			continue
		}
		if run++; run == flyingRunDays {
			return d - flyingRunDays + 1
		}
	}
	return c.Season.End()
}
