package hive

// Constant is a number of the plan that the code fixes, with its reason.
type Constant struct {
	Name, Unit string
	Value      float64
	Where      string // file that holds it
	Why        string // source, or that it is our own choice, and the reason
}

// Fixed returns the numbers behind the dates of work, as they stand in the
// code.
func Fixed() []Constant {
	const own, cp = "our own choice: ", "common practice, no source: "
	season, winter, lived, trial := "forecast/hive/season.go", "forecast/hive/winter.go", "forecast/hive/lived.go", "forecast/hive/trial.go"
	return []Constant{
		{"build-up before the first crop", "d", BuildUpDays, season, "Phillips 1911, Demuth 1912: egg to gatherer takes five to six weeks"},
		{"swarm watch before the first crop", "d", SwarmBeforeDays, season, own + "keepers' texts put swarms into the four weeks before the main flow"},
		{"swarm watch after the main flow's start", "d", SwarmAfterDays, season, own + "and its start"},
		{"first super before the first crop", "d", SuperBeforeDays, season, "Phillips 1911: seven to ten days"},
		{"no super before the end of the flow", "d", StopAddingDays, season, own + "after Demuth 1912: crowd the honey down"},
		{"look at ripeness after the flow", "d", CheckRipeDays, season, own + "capping lags the flow by several days"},
		{"harvest after the flow, dry air", "d", RipenDryDays, season, own + "up to 14 in warm dry weather (keepers' guides)"},
		{"harvest after the flow", "d", RipenDays, season, "keepers' guides: 14"},
		{"harvest after the flow, damp air", "d", RipenWetDays, season, "keepers' guides: 21"},
		{"daily range that makes air dry", "K", dryRangeK, season, "65 % relative humidity by FAO Paper 56 (from memory)"},
		{"daily range that makes air damp", "K", wetRangeK, season, "75 % relative humidity by FAO Paper 56 (from memory)"},
		{"supers off before the last warm spell", "d", ClearBeforeDays, season, own + "so that syrup is still ripened"},
		{"length of a warm spell", "d", warmSpellDays, season, own},
		{"cluster forms below", "°C", float64(WarmC), season, cp + "55 °F"},
		{"least surplus worth a harvest", "kg", HarvestKg, season, own},
		{"coming gain to make room for", "d", lookAhead, "forecast/hive/supers.go", own + "as long as nectar stays unripe"},
		{"most supers on a hive", "boxes", maxSupers, "forecast/hive/supers.go", own + "the count stops here"},
		{"supers off where no flow says otherwise", "day of the plant year", lateSummerDay, "forecast/hive/year.go", own + "the end of July in the north"},
		{"syrup is taken from", "°C", float64(SyrupC), winter, own + "just above the 10 of common practice"},
		{"days so warm after the last syrup", "d", SyrupDays, winter, own},
		{"stores are weighed before the last syrup", "d", StoresBeforeDays, winter, own + "time to feed"},
		{"mice move in below nights of", "°C", float64(MouseC), winter, "keepers' guides"},
		{"hive closed below a daily mean of", "°C", float64(ClosedC), winter, own + "within the 10 to 14 at which the cluster forms"},
		{"use in a month with brood", "kg", broodMonthKg, winter, "a German trade journal (read)"},
		{"use in a month without brood", "kg", broodlessMonthKg, winter, "a German trade journal (read)"},
		{"reserve of stores", "kg", ReserveKg, winter, own},
		{"broodless before mid-winter", "d", broodlessBefore, winter, "Moeller 1977: November and December"},
		{"broodless after mid-winter", "d", broodlessAfter, winter, "Moeller 1977: brood from late December on, counted from a month later; " + own},
		{"brood box covered for a second one", "share", coverShare, lived, "keepers' guides: 6 to 7 of 10 frames"},
		{"frames of brood for a second box", "frames", secondBoxFrames, lived, own},
		{"frames of brood from which bees may swarm", "frames", swarmFrames, lived, "keepers' guides: 5 to 6"},
		{"low stores in spring", "kg", lowKg, lived, cp},
		{"stores that last too short", "d", lowDays, lived, cp},
		{"feed at once below", "kg", brinkKg, "forecast/hive/colony.go", cp},
		{"share of full laying in which congestion counts", "share", layingSeason, lived, own},
		{"brood on a brood frame", "share", broodOnAFrame, "forecast/hive/log.go", own + "an oval within the bars"},
		{"cells that can be used", "share", usableShare, "forecast/hive/comb.go", "published counts of whole boxes against geometry"},
		{"days that make a hive honey-bound", "d", boundDays, trial, own + "a third of a brood cycle without cells"},
		{"supers in use at which one is added", "share", addAtShare, trial, "keepers' guides: one half to two thirds"},
		{"ripe share at which combs are taken", "share", ripeShare, trial, own + "a national standard asks for two thirds capped"},
		{"visits so far apart want two supers at once", "d", seldomDays, trial, "keepers' guides"},
		{"brood boxes that hold honey at mid-winter", "share", nestShare, "forecast/hive/managed.go", own + "the rest is the cluster's"},
		{"empty super", "kg", emptySuperKg, trial, "3.9 to 4.8 weighed on a scale (read)"},
	}
}
