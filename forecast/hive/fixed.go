package hive

import (
	"bloomtide/forecast/flow"
	"bloomtide/forecast/honey"
)

// Fixed returns the numbers behind the dates of work, as they stand in the
// code.
func Fixed() []flow.Constant {
	const own, cp = "our own choice: ", "common practice, no source: "
	season, winter, lived, trial := "forecast/hive/season.go", "forecast/hive/winter.go", "forecast/hive/lived.go", "forecast/hive/trial.go"
	return constants([]fixed{
		{"build-up before the first crop", "d", BuildUpDays, season, "BuildUpDays", "Phillips 1911, Demuth 1912: egg to gatherer takes five to six weeks"},
		{"swarm watch before the first crop", "d", SwarmBeforeDays, season, "SwarmBeforeDays", own + "keepers' texts put swarms into the four weeks before the main flow"},
		{"swarm watch after the main flow's start", "d", SwarmAfterDays, season, "SwarmAfterDays", own + "and its start"},
		{"first super before the first crop", "d", SuperBeforeDays, season, "SuperBeforeDays", "Phillips 1911: seven to ten days"},
		{"no super before the end of the flow", "d", StopAddingDays, season, "StopAddingDays", own + "after Demuth 1912: crowd the honey down"},
		{"look at ripeness after the flow", "d", CheckRipeDays, season, "CheckRipeDays", own + "capping lags the flow by several days"},
		{"harvest after the flow, dry air", "d", RipenDryDays, season, "RipenDryDays", own + "up to 14 in warm dry weather (keepers' guides)"},
		{"harvest after the flow", "d", RipenDays, season, "RipenDays", "keepers' guides: 14"},
		{"harvest after the flow, damp air", "d", RipenWetDays, season, "RipenWetDays", "keepers' guides: 21"},
		{"daily range that makes air dry", "K", dryRangeK, season, "dryRangeK", "65 % relative humidity by FAO Paper 56 (from memory)"},
		{"daily range that makes air damp", "K", wetRangeK, season, "wetRangeK", "75 % relative humidity by FAO Paper 56 (from memory)"},
		{"supers off before the last warm spell", "d", ClearBeforeDays, season, "ClearBeforeDays", own + "so that syrup is still ripened"},
		{"length of a warm spell", "d", warmSpellDays, season, "warmSpellDays", own},
		{"cluster forms below", "°C", float64(WarmC), season, "WarmC", cp + "55 °F"},
		{"least surplus worth a harvest", "kg", HarvestKg, season, "HarvestKg", own},
		{"coming gain to make room for", "d", lookAhead, "forecast/hive/supers.go", "lookAhead", own + "as long as nectar stays unripe"},
		{"most supers on a hive", "boxes", maxSupers, "forecast/hive/supers.go", "maxSupers", own + "the count stops here"},
		{"supers off where no flow says otherwise", "day of the plant year", lateSummerDay, "forecast/hive/year.go", "lateSummerDay", own + "the end of July in the north"},
		{"syrup is taken from", "°C", float64(SyrupC), winter, "SyrupC", own + "just above the 10 of common practice"},
		{"days so warm after the last syrup", "d", SyrupDays, winter, "SyrupDays", own},
		{"stores are weighed before the last syrup", "d", StoresBeforeDays, winter, "StoresBeforeDays", own + "time to feed"},
		{"mice move in below nights of", "°C", float64(MouseC), winter, "MouseC", "keepers' guides"},
		{"hive closed below a daily mean of", "°C", float64(ClosedC), winter, "ClosedC", own + "within the 10 to 14 at which the cluster forms"},
		{"use in a month with brood", "kg", broodMonthKg, winter, "broodMonthKg", "a German trade journal (read)"},
		{"use in a month without brood", "kg", broodlessMonthKg, winter, "broodlessMonthKg", "a German trade journal (read)"},
		{"reserve of stores", "kg", ReserveKg, winter, "ReserveKg", own},
		{"broodless before mid-winter", "d", broodlessBefore, winter, "broodlessBefore", "Moeller 1977: November and December"},
		{"broodless after mid-winter", "d", broodlessAfter, winter, "broodlessAfter", "Moeller 1977: brood from late December on, counted from a month later; " + own},
		{"brood box covered for a second one", "share", coverShare, lived, "coverShare", "keepers' guides: 6 to 7 of 10 frames"},
		{"frames of brood for a second box", "frames", secondBoxFrames, lived, "secondBoxFrames", own},
		{"frames of brood from which bees may swarm", "frames", swarmFrames, lived, "swarmFrames", "keepers' guides: 5 to 6"},
		{"low stores in spring", "kg", lowKg, lived, "lowKg", cp},
		{"stores that last too short", "d", lowDays, lived, "lowDays", cp},
		{"feed at once below", "kg", brinkKg, "forecast/hive/colony.go", "brinkKg", cp},
		{"share of full laying in which congestion counts", "share", layingSeason, lived, "layingSeason", own},
		{"brood on a brood frame", "share", broodOnAFrame, "forecast/hive/log.go", "broodOnAFrame", own + "an oval within the bars"},
		{"cells that can be used", "share", usableShare, "forecast/hive/comb.go", "usableShare", "published counts of whole boxes against geometry"},
		{"days that make a hive honey-bound", "d", boundDays, trial, "boundDays", own + "a third of a brood cycle without cells"},
		{"supers in use at which one is added", "share", addAtShare, trial, "addAtShare", "keepers' guides: one half to two thirds"},
		{"ripe share at which combs are taken", "share", ripeShare, trial, "ripeShare", own + "a national standard asks for two thirds capped"},
		{"visits so far apart want two supers at once", "d", seldomDays, trial, "seldomDays", "keepers' guides"},
		{"brood boxes that hold honey at mid-winter", "share", nestShare, "forecast/hive/managed.go", "nestShare", own + "the rest is the cluster's"},
		{"empty super", "kg", emptySuperKg, trial, "emptySuperKg", "3.9 to 4.8 weighed on a scale (read)"},
		{"plant year's longest winter counted", "d", longestWinter, winter, "longestWinter", own + "without income; more is no winter of bees"},
		{"a month", "d", monthDays, winter, "monthDays", "365 days in twelve parts"},
		{"the coming winter's first cold week is looked for after mid-winter", "d", lateWinterDays, winter, "lateWinterDays", own + "mild places have it late"},
		{"flying days in a row that open the year", "d", flyingRunDays, "forecast/hive/weather.go", "flyingRunDays", own + "a lone mild day opens nothing"},
		{"days without flight that make a winter to heft in", "d", heftAfterDays, lived, "heftAfterDays", own},
		{"least sugar worth a feeding", "kg", leastSyrupKg, lived, "leastSyrupKg", own},
		{"width of a worker cell", "mm", WorkerCellMm, "forecast/hive/comb.go", "WorkerCellMm", cp + "common foundation"},
		{"water to aim at", "%", honey.Targets{}.WithDefaults().Ripe, "forecast/honey/limit.go", "Ripe", own + "several national quality marks"},
		{"water to be wary of", "%", honey.Targets{}.WithDefaults().Warn, "forecast/honey/limit.go", "Warn", "the limit of US grade A (read)"},
		{"water at which nothing is taken", "%", honey.Targets{}.WithDefaults().Stop, "forecast/honey/limit.go", "Stop", "the limit of the EU (read)"},
		{"water of ripe honey in every balance", "share", honey.Water, "forecast/honey/honey.go", "Water", own + "18 %, the usual middle"},
	})
}

// fixed has the fields of a Constant, in its order.
type fixed struct {
	Name, Unit string
	Value      float64
	Where, ID  string
	Why        string
}

func constants(rows []fixed) []flow.Constant {
	out := make([]flow.Constant, len(rows))
	for i, r := range rows {
		out[i] = flow.Constant(r)
	}
	return out
}
