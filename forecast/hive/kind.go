package hive

// Kind names one sort of work at the hive, as it stands in every output.
type Kind string

// The kinds of task, in the order of the keeper's year.
const (
	SpringStoresCheck Kind = "spring-stores-check"
	BuildUp           Kind = "build-up"
	StarvationWatch   Kind = "starvation-watch"
	SecondBroodBox    Kind = "second-brood-box"
	SwarmWatch        Kind = "swarm-watch"
	CongestionCheck   Kind = "congestion-check"
	FramesOut         Kind = "frames-out"
	ExcluderOn        Kind = "excluder-on"
	SuperOn           Kind = "super-on"
	LastSuper         Kind = "last-super"
	HarvestCheck      Kind = "harvest-check"
	Harvest           Kind = "harvest"
	SupersOff         Kind = "supers-off"
	ExcluderOff       Kind = "excluder-off"
	EntranceReducer   Kind = "entrance-reducer"
	AutumnStoresCheck Kind = "autumn-stores-check"
	FeedSyrup         Kind = "feed-syrup"
	MouseGuard        Kind = "mouse-guard"
	LastSyrup         Kind = "last-syrup"
	LastFrames        Kind = "last-frames"
	WinterClosed      Kind = "winter-closed"
	WinterHefting     Kind = "winter-hefting"
)

// titles are the kinds in words a keeper reads.
var titles = map[Kind]string{
	SpringStoresCheck: "Spring stores check",
	BuildUp:           "Build-up must be under way",
	StarvationWatch:   "Watch for starvation",
	SecondBroodBox:    "Second brood box on",
	SwarmWatch:        "Swarm watch begins",
	CongestionCheck:   "Check brood nest for congestion",
	FramesOut:         "Frames of honey out of the brood nest",
	ExcluderOn:        "Excluder on",
	SuperOn:           "Add super",
	LastSuper:         "Last day to add a super",
	HarvestCheck:      "Check that honey is ripe",
	Harvest:           "Harvest ripe capped honey",
	SupersOff:         "Supers off",
	ExcluderOff:       "Excluder off",
	EntranceReducer:   "Entrance reducer in",
	AutumnStoresCheck: "Weigh stores, start syrup if short",
	FeedSyrup:         "Feed syrup",
	MouseGuard:        "Mouse guard on",
	LastSyrup:         "Last day for syrup",
	LastFrames:        "Last day to lift frames",
	WinterHefting:     "Heft the hive each fortnight",
	WinterClosed:      "Close up for winter, lift no frames",
}

// Kinds returns every kind of task in the order of the keeper's year.
func Kinds() []Kind {
	return []Kind{
		WinterHefting, SpringStoresCheck, StarvationWatch, BuildUp, SecondBroodBox, SwarmWatch, CongestionCheck, FramesOut,
		ExcluderOn, SuperOn, LastSuper, HarvestCheck, Harvest, SupersOff, ExcluderOff, EntranceReducer,
		AutumnStoresCheck, FeedSyrup, MouseGuard, LastSyrup, LastFrames, WinterClosed,
	}
}

// Title returns the kind in words a keeper reads.
func (k Kind) Title() string {
	if t, ok := titles[k]; ok {
		return t
	}
	return string(k)
}
