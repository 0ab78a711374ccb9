package hive

import "bloomtide/forecast/colony"

// A square decimetre of comb carries cells on both faces, as the trade counts
// it; comb areas are of one face.

// CellsPerDm2 returns the worker cells of a square decimetre of comb, both
// faces together, for a cell width in mm between opposite walls.
//
//	2 × 10 000 / ((√3/2) w²) = 23 094 / w²
//
// Plain geometry of the hexagon; 5.4 mm gives 792, printed as 800 in older
// tables.
func CellsPerDm2(widthMm float64) float64 { return 23094 / (widthMm * widthMm) }

const (
	// WorkerCellMm is the width of a worker cell on common foundation, mm
	// (common practice, no source).
	WorkerCellMm = 5.4

	// usableShare is the part of the geometric cell count that published
	// counts of whole frames reach, 0 to 1: 61 000 for ten Langstroth deep
	// frames against 69 700.
	usableShare = 0.87
)

// Box is a hive body with its frames.
type Box struct {
	Name    string
	Frames  int
	CombDm2 float64 // comb of one frame, one face, dm²
	FullKg  float64 // weight to lift when full of honey, wood included, kg
	Source  string
}

// AreaDm2 returns the comb of the whole box, one face, dm².
func (b Box) AreaDm2() float64 { return float64(b.Frames) * b.CombDm2 }

// HoneyKg returns the honey that the box holds when capped to the edges, kg.
// The tuning must be complete.
func (b Box) HoneyKg(t colony.Tuning) float64 { return b.AreaDm2() * t.HoneyKgPerDm2 }

// WorkerCells returns the worker cells that can be used in the box.
func (b Box) WorkerCells() float64 {
	return b.AreaDm2() * CellsPerDm2(WorkerCellMm) * usableShare
}

// UnripeDm2 returns the comb that fresh nectar takes up while it ripens, dm²:
// it holds more water than the honey it becomes, and bees spread it thin. The
// tuning must be complete.
//
//	kg  honey that the nectar of the last days will become, kg
func UnripeDm2(kg float64, t colony.Tuning) float64 {
	return SqueezedDm2(kg, t) / t.UnripeFill
}

// SqueezedDm2 returns the comb that fresh nectar takes up where bees have no
// room to spread it and fill each cell, dm². The tuning must be complete.
//
//	kg  honey that the nectar of the last days will become, kg
func SqueezedDm2(kg float64, t colony.Tuning) float64 {
	return kg * t.UnripeVolume / t.HoneyKgPerDm2
}
