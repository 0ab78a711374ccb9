package hive

// Kind names one sort of work at the hive, as it stands in every output.
type Kind string

// The kinds of task, in the order of the keeper's year.
const (
	SpringStoresCheck Kind = "spring-stores-check"
	BuildUp           Kind = "build-up"
	SwarmWatch        Kind = "swarm-watch"
	CongestionCheck   Kind = "congestion-check"
	ExcluderOn        Kind = "excluder-on"
	SuperOn           Kind = "super-on"
	LastSuper         Kind = "last-super"
	HarvestCheck      Kind = "harvest-check"
	Harvest           Kind = "harvest"
	SupersOff         Kind = "supers-off"
	ExcluderOff       Kind = "excluder-off"
	AutumnStoresCheck Kind = "autumn-stores-check"
	MouseGuard        Kind = "mouse-guard"
	LastSyrup         Kind = "last-syrup"
	WinterClosed      Kind = "winter-closed"
)

// titles are the kinds in words a keeper reads.
var titles = map[Kind]string{
	SpringStoresCheck: "Spring stores check",
	BuildUp:           "Build-up must be under way",
	SwarmWatch:        "Swarm watch begins",
	CongestionCheck:   "Check brood nest for congestion",
	ExcluderOn:        "Excluder on",
	SuperOn:           "Add super",
	LastSuper:         "Last day to add a super",
	HarvestCheck:      "Check that honey is ripe",
	Harvest:           "Harvest ripe capped honey",
	SupersOff:         "Supers off",
	ExcluderOff:       "Excluder off",
	AutumnStoresCheck: "Weigh stores, start syrup if short",
	MouseGuard:        "Mouse guard on",
	LastSyrup:         "Last day for syrup",
	WinterClosed:      "Close up for winter, lift no frames",
}

// Kinds returns every kind of task in the order of the keeper's year.
func Kinds() []Kind {
	return []Kind{
		SpringStoresCheck, BuildUp, SwarmWatch, CongestionCheck, ExcluderOn, SuperOn, LastSuper,
		HarvestCheck, Harvest, SupersOff, ExcluderOff, AutumnStoresCheck, MouseGuard, LastSyrup, WinterClosed,
	}
}

// Title returns the kind in words a keeper reads.
func (k Kind) Title() string {
	if t, ok := titles[k]; ok {
		return t
	}
	return string(k)
}
