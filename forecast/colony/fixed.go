package colony

import "bloomtide/forecast/flow"

// Fixed returns the numbers of this package that are no setting.
func Fixed() []flow.Constant {
	const own = "our own choice: "
	clock, step, world := "forecast/colony/clock.go", "forecast/colony/step.go", "forecast/colony/world.go"
	return constants([]fixed{
		{"width of the rise and the fall of laying", "d", curveDays, clock, "curveDays", "Schmickl and Crailsheim 2007 (from memory)"},
		{"middle of the rise of laying, from mid-winter", "d", riseDay, clock, "riseDay", "Schmickl and Crailsheim 2007 (from memory): 15 ln 385"},
		{"middle of the fall of laying, from mid-winter", "d", fallDay, clock, "fallDay", "Schmickl and Crailsheim 2007 (from memory): 155 + 15 ln 36"},
		{"degree days of the colony's season count above", "°C", growthC, clock, "growthC", own + "where grass and forage grow"},
		{"least days from the rise to the fall of laying", "d", leastSummer, clock, "leastSummer", own + "two cycles of brood"},
		{"days whose mean tells whether there is a winter", "d", coldestDays, clock, "coldestDays", own + "a month"},
		{"egg to bee", "d", layToEmerge, clock, "layToEmerge", "a queen breeders' sheet (read)"},
		{"a year cut off by more is judged by the curve's own days", "d", partYearDays, clock, "partYearDays", own + "a month"},
		{"worker brood is capped for", "d", cappedDays, "forecast/colony/life.go", "cappedDays", "Khoury et al. 2013"},
		{"hungry adults that die in a day", "share", starvedAdults, step, "starvedAdults", own + "a starving colony is lost in days"},
		{"hungry open brood that is given up in a day", "share", starvedBrood, step, "starvedBrood", own + "brood goes first"},
		{"yesterday's warmth in today's", "share", warmthMemory, step, "warmthMemory", own + "recent flight is that of about five days"},
		{"brood to an adult at which the nest is kept fully warm", "share", broodyShare, step, "broodyShare", own + "steady summer colonies have about this"},
		{"foragers that turn back in a day at the most", "share", revertShare, step, "revertShare", own + "Khoury et al. 2013 let recruitment run backwards"},
		{"fastest ripening in dry air", "times", quickest, world, "quickest", "keepers' guides: 10 days for 14"},
		{"slowest ripening in damp air", "times", slowest, world, "slowest", "keepers' guides: 21 days for 14"},
		{"bees that leave with a swarm", "share", swarmShare, "forecast/colony/keeper.go", "swarmShare", "common practice, no source"},
		{"honey in the crop of a swarming bee", "kg", cropKg, "forecast/colony/keeper.go", "cropKg", "common practice, no source: a full crop of 40 mg"},
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
