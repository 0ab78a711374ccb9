package forecast

import "bloomtide/forecast/flow"

// Fixed returns the numbers by which members are made and summarised.
func Fixed() []flow.Constant {
	const own = "our own choice: "
	ensemble, flows, tasks, measures, warn := "forecast/ensemble.go", "forecast/flows.go", "forecast/tasks.go", "forecast/measures.go", "forecast/warnings.go"
	making, past := "forecast/making.go", "forecast/past.go"
	return constants([]fixed{
		{"past years used at the most", "years", maxMembers, ensemble, "maxMembers", "a climate normal (World Meteorological Organization, from memory)"},
		{"past years needed at the least", "years", minMembers, ensemble, "minMembers", own + "fewer give no odds"},
		{"share of its own year that a member must have", "share", leastOwn, ensemble, "leastOwn", own},
		{"days of the year after next in a member", "d", afterDays, ensemble, "afterDays", own + "a winter is counted to its first income"},
		{"share of members that makes an early or late flow worth a line", "share", leastFlowShare, flows, "leastFlowShare", own},
		{"share of members that makes a task worth a line", "share", leastTaskShare, flows, "leastTaskShare", own},
		{"share of members from which other work waits for a task", "share", waitShare, tasks, "waitShare", own + "rarer work is another year's"},
		{"tasks are listed ahead", "d", aheadDays, tasks, "aheadDays", own + "a year"},
		{"and after their last day", "d", overdueDays, tasks, "overdueDays", own + "so that late work is seen"},
		{"best three days where cover is not known", "kg/d", relativeTopKg, "forecast/supply.go", "relativeTopKg", own + "a strong flow on a hive scale; it sets dates, no amount is shown"},
		{"days in a row for the most comb asked for", "d", worstDays, measures, "worstDays", own},
		{"supers that a visit leaves empty", "boxes", supersAVisit, measures, "supersAVisit", "common practice, no source"},
		{"the reserve stays on show after the first income", "d", afterWinterDays, "forecast/room.go", "afterWinterDays", own},
		{"years of bloom below which a fitted model is taken as it is", "years", fewToBlend, "forecast/blend.go", "fewToBlend", own},
		{"values that stand for a fitted model's own error", "values", dressings, "forecast/blend.go", "dressings", own},
		{"share of years bound up to which a set-up keeps the nest free", "share", mostBound, "forecast/comparesetups.go", "mostBound", own},
		{"days that an unverified row may move work without a word", "d", fewDays, "forecast/hangs.go", "fewDays", own},
		{"members played again for each unverified row", "members", hangMembers, "forecast/hangs.go", "hangMembers", own},
		{"of them those that must show a move first", "members", firstMembers, "forecast/hangs.go", "firstMembers", own},
		{"years below which the record's trend is chance", "years", leastTrendYears, making, "leastTrendYears", own},
		{"days before the issue date by which years are alike", "d", likeDays, making, "likeDays", own},
		{"years kept by likeness at the least", "years", leastLike, making, "leastLike", own},
		{"share of years kept by likeness", "share", likeShare, making, "likeShare", own},
		{"share of those days that must be known", "share", leastOfLike, making, "leastOfLike", own},
		{"days in common from which an outlook is moved to the station", "d", leastCommon, "forecast/outlook.go", "leastCommon", own},
		{"days of a flow's opening", "d", openingDays, past, "openingDays", own},
		{"share of its nectar from which a plant opens a flow", "share", openingShare, past, "openingShare", own},
		{"plants that open a flow at the most", "plants", mostOpeners, past, "mostOpeners", own},
		{"past years below which odds are called rough", "years", fewMembers, warn, "fewMembers", own},
		{"a record that ends longer ago is called old", "d", staleDays, warn, "staleDays", own},
		{"share of days since mid-winter that should be observed", "share", openShare, warn, "openShare", own},
		{"share of members below which a main flow is called unlikely", "share", unlikelyFlow, warn, "unlikelyFlow", own},
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
