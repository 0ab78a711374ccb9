package hive

import (
	"bloomtide/forecast/colony"
	"bloomtide/ingest/weather"
)

// DeedKind is one sort of entry in the keeper's log.
type DeedKind string

// What a keeper does or sees. Amounts are frames, kg or L as named.
const (
	PutSuper     DeedKind = "super-on"     // amount: frames of it that are drawn
	TookSupers   DeedKind = "supers-off"   // no amount
	PutExcluder  DeedKind = "excluder-on"  // no amount
	TookExcluder DeedKind = "excluder-off" // no amount
	PutBroodBox  DeedKind = "brood-box-on" // no amount
	TookFrames   DeedKind = "frames-out"   // amount: frames of honey out of the brood nest
	TookHoney    DeedKind = "harvest"      // amount: kg
	FedSyrup     DeedKind = "syrup"        // amount: L of two to one
	SawStores    DeedKind = "stores"       // amount: kg in the brood boxes
	SawBrood     DeedKind = "brood"        // amount: frames with brood
	SawBees      DeedKind = "bees"         // amount: frames covered with bees
	SawSwarm     DeedKind = "swarm"        // no amount
)

// DeedKinds returns every kind.
func DeedKinds() []DeedKind {
	return []DeedKind{PutSuper, TookSupers, PutExcluder, TookExcluder, PutBroodBox, TookFrames, TookHoney, FedSyrup, SawStores, SawBrood, SawBees, SawSwarm}
}

// Deed is one entry of the log.
type Deed struct {
	Day    weather.Date
	Kind   DeedKind
	Amount float64 // as the kind has it
}

// Log is what the keeper did and saw. Planned work before Upto that is not in
// it was not done, and falls due on Upto.
type Log struct {
	Deeds []Deed       // in the order of their days
	Upto  weather.Date // the issue date
}

// kept reports whether the keeper keeps a log.
func (l Log) kept() bool { return len(l.Deeds) > 0 }

// count returns how many deeds of a kind lie in the days from (inclusive) to
// to (exclusive).
func (l Log) count(k DeedKind, from, to weather.Date) int {
	n := 0
	for _, d := range l.Deeds {
		if d.Kind == k && d.Day >= from && d.Day < to {
			n++
		}
	}
	return n
}

// broodOnAFrame is the share of a brood frame's cells that hold brood. Our own
// choice: an oval within the wooden bars.
const broodOnAFrame = 0.7

// found makes the colony what the keeper saw of it.
func (d Deed) found(l *colony.Life, s Setup) {
	switch d.Kind {
	case SawBrood:
		l.SetBrood(d.Amount * broodCells(s))
	case SawBees:
		l.SetBees(d.Amount * s.BroodBox.CombDm2 * s.Tuning.BeesPerDm2)
	case SawSwarm:
		l.Swarm()
	case PutBroodBox:
		l.AddNest(s.BroodBox.AreaDm2())
	}
}
