package hive

// Advice is what a task says beside its dates: why it falls where it does,
// what to look for in the hive, what to do when it is late, and what to beware.
// Late and Care may be empty.
type Advice struct {
	Why, Check, Late, Care Reason
}

// Advise returns the advice for a task of kind k, the n-th of its kind.
func Advise(k Kind, n int, f Facts) Advice {
	a := Advice{Why: Why(k, n, f), Check: plain(checks[k]), Late: plain(lates[k]), Care: plain(cares[k])}
	super, brood := Value{f.Setup.Super.FullKg, Kg}, Value{f.Setup.BroodBox.FullKg, Kg}
	switch k {
	case SwarmWatch, CongestionCheck, SecondBroodBox, FramesOut:
		a.Care = Reason{"a full brood box (" + f.Setup.BroodBox.Name + ") weighs about {}, each full super above it about {}: lift frames, or lift with help", []Value{brood, super}}
	case HarvestCheck, Harvest, SupersOff, SuperOn, LastSuper:
		a.Care = Reason{"a full super (" + f.Setup.Super.Name + ") weighs about {}: lift it with help or frame by frame", []Value{super}}
	case StarvationWatch:
		a.Check = Reason{checks[k], []Value{{lowKg, Kg}, temp(SyrupC), {brinkKg, Kg}}}
	case AutumnStoresCheck:
		a.Check = Reason{checks[k], []Value{{f.Setup.BroodBox.CombDm2 * f.Setup.Tuning.HoneyKgPerDm2, Kg}}}
	case FeedSyrup:
		a.Check = feedCheck(f)
	case WinterHefting, SpringStoresCheck:
		a.Check = Reason{checks[k], []Value{{lowKg, Kg}, {brinkKg, Kg}}}
	}
	return a
}

// feedCheck names the amounts where the plan can tell them.
func feedCheck(f Facts) Reason {
	if f.Relative || f.SyrupKg <= 0 {
		return plain("weigh first and feed what is short, as two to one; " + checks[FeedSyrup])
	}
	return Reason{"want {} of sugar, {} of two to one; " + checks[FeedSyrup], []Value{{f.SyrupKg, Kg}, {f.SyrupKg * f.litresPerKg(), Litres}}}
}

func plain(s string) Reason { return Reason{Text: s} }

// The words of advice: common practice, no source, where no number stands.
var checks = map[Kind]string{
	WinterHefting:     "lift the back of the hive a finger's breadth, or weigh it; feed below {}, at once below {}; entrance open, dead bees cleared, lid dry",
	SpringStoresCheck: "flying bees with pollen, sealed stores on two frames beside the brood; feed below {}, at once below {}",
	StarvationWatch:   "heft each week; below {} feed one to one where days reach {}, else fondant on the cluster; below {} at once",
	BuildUp:           "eggs in a closed round, five or more frames with brood, stores, a laying queen not older than two years",
	SecondBroodBox:    "bees on seven of ten frames and brood on six; put the drawn box on top, foundation only while nectar comes in",
	SwarmWatch:        "eggs seen at every visit, queen cups with an egg or a larva, cells along the lower edges, bees hanging at the entrance",
	CongestionCheck:   "empty cells for three days of laying, nectar in cells that brood has just left, queen cups; no eggs and no open larvae mean that she stopped nine days ago",
	FramesOut:         "nectar or honey in the middle of the brood nest; take out full frames, give empty drawn ones beside the brood, after a look for the queen",
	ExcluderOn:        "the queen below, no drone brood above; over bare foundation leave it off until bees work there",
	SuperOn:           "bees on seven of ten frames, white new wax along the top bars; drawn comb straight on the excluder, foundation baited with two drawn frames",
	LastSuper:         "take off what bees have not touched and let them finish what they began",
	HarvestCheck:      "three quarters of each comb capped, nothing drips when the frame is shaken, the refractometer shows 18 % or less",
	Harvest:           "the capped share and the water of each box; honey not ripe goes back",
	SupersOff:         "no brood and no queen above; boxes bee-tight once they are off",
	ExcluderOff:       "queen and brood below; scrape wax, store it flat",
	EntranceReducer:   "bees fighting at the entrance, wasps; narrower for a weak colony",
	AutumnStoresCheck: "weigh, or count: a full brood frame holds about {}; honey above the bees, some empty comb below for the cluster",
	FeedSyrup:         "feed in the evening, inside the hive, nothing spilt; weigh again when it is taken down",
	MouseGuard:        "no mouse inside already; bees pass with pollen",
	LastSyrup:         "whether the last syrup is taken down",
	LastFrames:        "queen or eggs, healthy brood, honey above and at both sides of the cluster",
	WinterClosed:      "excluder off, entrance small and open, lid tight, hive leaning forward, shelter from the wind",
}

var lates = map[Kind]string{
	WinterHefting:     "heft today; a quiet light hive gets fondant at once",
	SpringStoresCheck: "heft from outside now and feed before you look further",
	StarvationWatch:   "feed today: a starving colony is lost in days",
	BuildUp:           "eggs laid less than five weeks before the flow give no gatherers for it: unite weak colonies, or plan for the next flow",
	SecondBroodBox:    "put it on today and look for queen cells first; with cells, split instead",
	SwarmWatch:        "look through every frame today; with capped queen cells a swarm has left or leaves today",
	CongestionCheck:   "look today: an egg unseen since the last look may be a capped cell after nine days",
	FramesOut:         "extract two or three of the honey frames or give them to a colony in need, and add room above",
	ExcluderOn:        "find the queen and put her below first; brood above hatches within 24 days",
	SuperOn:           "put it on today, two at once if the last is full or the next visit is more than a week off; look for queen cells",
	LastSuper:         "add none any more: take full boxes off instead",
	HarvestCheck:      "look soon: once the flow is over bees carry honey down and robbers come",
	Harvest:           "take it within days; treatment and feeding wait for it",
	SupersOff:         "take them off on the next warm noon; a treatment or syrup has to wait until they are off",
	ExcluderOff:       "take it off on the next mild day even if nothing else is done",
	EntranceReducer:   "put it in at once, against robbing and wasps",
	AutumnStoresCheck: "feed fast, in large amounts, while days are still warm",
	FeedSyrup:         "feed thick and fast; after the last syrup day give fondant",
	MouseGuard:        "look for a nest first, then put it on",
	LastSyrup:         "no more syrup: fondant or dry sugar over the cluster",
	LastFrames:        "lift none any more; heft from outside",
	WinterClosed:      "close up now from outside",
}

var cares = map[Kind]string{
	StarvationWatch:   "no syrup while supers for people are on",
	ExcluderOff:       "an excluder left on in winter parts the queen from the cluster",
	ExcluderOn:        "drones above an excluder cannot get out: give them an upper exit",
	EntranceReducer:   "never leave honey or syrup open",
	AutumnStoresCheck: "no brown sugar, no honey of unknown hives; do not fill the brood nest solid",
	FeedSyrup:         "no syrup while supers for people are on; no open feeding",
	MouseGuard:        "take it off when pollen comes in, in spring",
}
