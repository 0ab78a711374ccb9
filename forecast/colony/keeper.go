package colony

// What a keeper does at the hive. Each changes the state at once and stands in
// the Ledger.

// AddSuper puts a super on.
//
//	dm2    its comb, dm² of one face
//	drawn  share of it that is drawn, 0 to 1; the rest is foundation
func (l *Life) AddSuper(dm2, drawn float64) {
	l.SuperDm2 += dm2 * clamp01(drawn)
	l.RawDm2 += dm2 * (1 - clamp01(drawn))
}

// Harvest is honey taken from the supers, kg.
type Harvest struct{ CappedKg, OpenKg, UnripeKg float64 }

// Kg returns all of it.
func (h Harvest) Kg() float64 { return h.CappedKg + h.OpenKg + h.UnripeKg }

// TakeHoney empties the supers and leaves their comb.
func (l *Life) TakeHoney() Harvest {
	h := Harvest{l.SuperCapped, l.SuperRipe, l.SuperUnripe}
	l.SuperCapped, l.SuperRipe, l.SuperUnripe = 0, 0, 0
	l.Ledger.TakenKg += h.Kg()
	return h
}

// TakeRipe takes the ripe combs of the supers for empty ones and returns their
// honey, kg.
func (l *Life) TakeRipe() float64 {
	kg := l.SuperCapped + l.SuperRipe
	l.SuperCapped, l.SuperRipe = 0, 0
	l.Ledger.TakenKg += kg
	return kg
}

// TakeCapped takes the capped combs of the supers for empty ones and returns
// their honey, kg.
func (l *Life) TakeCapped() float64 {
	kg := l.SuperCapped
	l.SuperCapped = 0
	l.Ledger.TakenKg += kg
	return kg
}

// SupersOff takes the supers with all that is in them.
func (l *Life) SupersOff() Harvest {
	h := l.TakeHoney()
	l.SuperDm2, l.RawDm2 = 0, 0
	return h
}

// AddNest gives the brood nest more drawn comb, dm².
func (l *Life) AddNest(dm2 float64) { l.NestDm2 += dm2 }

// Feed gives stores to the brood nest as far as there is room and returns how
// much was taken down, kg.
func (l *Life) Feed(kg float64) float64 {
	use := l.NestUse(l.tuning, l.cells)
	kg = min(max(kg, 0), use.Empty*l.tuning.HoneyKgPerDm2)
	l.NestRipe += kg
	l.Ledger.FedKg += kg
	return kg
}

// TakeFrames takes combs of honey out of the brood nest and puts empty ones
// in their place; it returns the honey, kg.
//
//	dm2  comb taken, dm² of one face
func (l *Life) TakeFrames(dm2 float64) float64 {
	kg := min(l.NestRipe, dm2*l.tuning.HoneyKgPerDm2)
	l.NestRipe -= kg
	l.Ledger.TakenKg += kg
	return kg
}

// SetStores makes the brood nest hold so much ripe honey, as weighed, kg.
func (l *Life) SetStores(kg float64) {
	most := l.NestDm2 - l.Brood()/l.cells - l.PollenKg/l.tuning.PollenKgPerDm2
	kg = min(kg, max(most, 0)*l.tuning.HoneyKgPerDm2)
	if more := kg - l.NestKg(); more > 0 {
		l.Ledger.FedKg += more
	} else {
		l.Ledger.TakenKg -= more
	}
	l.NestRipe, l.NestUnripe = kg, 0
}

// SetBrood makes the nest hold so many cells of brood, as seen: 9 parts open
// to 12 capped, as steady laying has them.
func (l *Life) SetBrood(cells float64) {
	use := l.NestUse(l.tuning, l.cells)
	cells = min(max(cells, 0), (use.Brood+use.Empty)*l.cells)
	l.Ledger.AddedBrood += cells - l.Brood()
	days := l.tuning.OpenDays + cappedDays
	l.Open = cells * l.tuning.OpenDays / days
	for i := range l.capped {
		l.capped[i] = cells / days
	}
	l.Capped = cells / days * cappedDays
}

// SetBees makes the colony so many adults, as counted, in the same parts; a
// colony without any gets house bees.
func (l *Life) SetBees(n float64) {
	have := l.Adults()
	l.Ledger.AddedBees += n - have
	if have <= 0 {
		l.House = n
		return
	}
	l.House, l.Foragers, l.Winter = l.House*n/have, l.Foragers*n/have, l.Winter*n/have
}

// What leaves with a swarm (common practice, no source).
const (
	swarmShare = 0.5     // of the bees of every age
	cropKg     = 0.04e-3 // honey that each takes along, kg
)

// Swarm lets the keeper's note of a swarm take effect: bees of every age leave
// with a crop full of honey.
func (l *Life) Swarm() {
	gone := l.Adults() * swarmShare
	l.SetBees(l.Adults() - gone)
	kg := min(gone*cropKg, l.NestRipe)
	l.NestRipe -= kg
	l.Ledger.TakenKg += kg
}
