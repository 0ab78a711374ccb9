package hive

import (
	"bloomtide/forecast/colony"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Setup is what the keeper has. Zero fields mean the stated default.
type Setup struct {
	BroodBox   Box // default: Langstroth deep, ten frames
	BroodBoxes int // default 2
	Super      Box // default: Langstroth medium, ten frames

	// MostSupers the keeper owns for the hive; default 0: as many as it takes.
	MostSupers int

	// Foundation is the share of a new super's comb that is not drawn yet, 0
	// to 1; default 0.
	Foundation float64

	// Foragers is the most bees that gather on one day; default 20 000. Our own
	// choice: a third of a strong colony of 60 000.
	Foragers float64

	// ColoniesInReach share the same forage, the keeper's own included;
	// default 40. Our own choice: about three on each square kilometre within
	// two kilometres.
	ColoniesInReach float64

	Tuning colony.Tuning // default: colony.Knobs
	Rules  flow.Rules    // default: flow.DefaultRules

	// ShapeOnly: how much nectar there is is not known, only when; nothing that
	// rests on kilograms of it is said of stores.
	ShapeOnly bool

	// Log is what the keeper did and saw up to the issue date; empty: the plan
	// takes it that its own dates were kept.
	Log Log
}

// WithDefaults returns the set-up with every zero field filled in. Box figures
// are those of boxes.csv in package config.
func (s Setup) WithDefaults() Setup {
	if s.BroodBox.Frames == 0 {
		s.BroodBox = Box{Name: "Langstroth deep, 10 frames", Frames: 10, CombDm2: 8.8, FullKg: 37}
	}
	if s.Super.Frames == 0 {
		s.Super = Box{Name: "Langstroth medium, 10 frames", Frames: 10, CombDm2: 5.7, FullKg: 24}
	}
	if s.BroodBoxes == 0 {
		s.BroodBoxes = 2
	}
	if s.Foragers == 0 {
		s.Foragers = 20000
	}
	if s.ColoniesInReach == 0 {
		s.ColoniesInReach = 40
	}
	s.Tuning, s.Rules = s.Tuning.WithDefaults(), s.Rules.WithDefaults()
	return s
}

// hive returns the comb that the colony is housed in.
func (s Setup) hive() colony.Hive {
	return colony.Hive{
		NestDm2:      float64(s.BroodBoxes) * s.BroodBox.AreaDm2(),
		CellsPerDm2:  cellsPerDm2,
		MostForagers: s.Foragers,
	}
}

// cellsPerDm2 are the worker cells that can be used on a square decimetre.
var cellsPerDm2 = CellsPerDm2(WorkerCellMm) * usableShare

// The reference hive always has room above, as the protocol of a hive scale
// network asks (HoneyBeeNet, NASA: over-supered, so that the record never
// saturates), and is fed at the brink.
const (
	endlessDm2 = 1e4 // dm²
	brinkKg    = 3.0 // common practice, no source: below it a colony is fed
)

// reference lets a colony live in a hive with endless room: what it gains is
// the nectar flow.
func (c *Course) reference() {
	l := colony.NewLife(c.world, c.Setup.hive())
	l.AddSuper(endlessDm2, 1)
	s := c.Season
	c.GainKg, c.brood = make([]float64, s.Len()), make([]float64, s.Len())
	deeds := c.Setup.Log.Deeds
	for i := range c.GainKg {
		d := s.Start + weather.Date(i)
		if i > 0 && d == phenology.YearStart(s.LatDeg, phenology.YearOf(s.LatDeg, d)) {
			l.TakeHoney()
			l.SetStores(c.Setup.Tuning.StartKg)
		}
		for len(deeds) > 0 && deeds[0].Day <= d {
			deeds[0].found(l, c.Setup)
			deeds = deeds[1:]
		}
		if l.StoresKg() < brinkKg {
			l.Feed(brinkKg)
		}
		l.Step(i)
		c.GainKg[i], c.brood[i] = l.GainKg, l.Brood()/broodCells(c.Setup)
	}
}

// broodCells returns the cells with brood on a frame that counts as one of
// brood.
func broodCells(s Setup) float64 { return s.BroodBox.CombDm2 * cellsPerDm2 * broodOnAFrame }

// firstBrood returns the first day from d on with so many frames of brood, and
// to where there is none. Where the course was not lived through it is d.
func (c Course) firstBrood(d, to weather.Date, frames float64) weather.Date {
	for ; c.brood != nil && d < to; d++ {
		if i := int(d - c.Season.Start); i >= 0 && (i >= len(c.brood) || c.brood[i] >= frames) {
			break
		}
	}
	return d
}
