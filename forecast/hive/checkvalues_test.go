package hive_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Rows are those of ../shared/science/HIVE.md, section 12, worked out there
// outside this project; each check names its row and what the row rests on.

// Rows 7 and 8 and the table of section 4.1: the geometry of the hexagon,
// against counts printed by Justrich (Betts 1938, Bee World), in round tens
// and up to 2 % off it.
func TestCellsPerDm2(t *testing.T) {
	for _, c := range []struct{ widthMm, cells, printed float64 }{
		{4.9, 961.8, 950}, {5.0, 923.8, 920}, {5.2, 854.1, 850}, {5.3, 822.1, 830},
		{5.4, 792.0, 800}, {5.5, 763.4, 750}, {5.7, 710.8, 700},
	} {
		require.InDelta(t, c.cells, hive.CellsPerDm2(c.widthMm), 0.05, "%.1f mm", c.widthMm)
		require.InEpsilon(t, c.printed, hive.CellsPerDm2(c.widthMm), 0.02, "%.1f mm, printed", c.widthMm)
	}
	require.InDelta(t, 485.1, hive.CellsPerDm2(6.9), 0.05, "drone cells")
}

// Row 9: 6064 usable cells in a Langstroth deep frame; beekeeping association
// sheets print 61 000 to 61 400 for ten frames (read).
func TestUsableCells(t *testing.T) {
	require.InDelta(t, 6064, hive.Box{Frames: 1, CombDm2: 8.8}.WorkerCells(), 1)
	require.InEpsilon(t, 61000, hive.Setup{}.WithDefaults().BroodBox.WorkerCells(), 0.01)
}

// Section 4.3: honey that boxes hold at 0.30 kg/dm².
func TestBoxHoney(t *testing.T) {
	tuning := hive.Setup{}.WithDefaults().Tuning
	require.InDelta(t, 26.4, hive.Box{Frames: 10, CombDm2: 8.8}.HoneyKg(tuning), 0.05)
	require.InDelta(t, 17.1, hive.Setup{}.WithDefaults().Super.HoneyKg(tuning), 0.05)
	// A medium frame of honey weighs 4 lb (a frame maker's page, read).
	require.InEpsilon(t, 4*0.45359237, hive.Box{Frames: 1, CombDm2: 5.7}.HoneyKg(tuning), 0.07)
}

// Row 15: 3 kg a month with brood, 1 kg without: four and three months use
// 15 kg, which the German trade journal gives as the normal need (read).
func TestWinterNeed(t *testing.T) {
	require.InDelta(t, 15, hive.WinterUseKg(4, 3), 1e-12)
	require.Zero(t, hive.WinterUseKg(0, 0))
}

// Row 28: 2 kg a day as honey takes 100 dm² while it ripens (project's rule).
func TestUnripeRoom(t *testing.T) {
	require.InDelta(t, 100, hive.UnripeDm2(3*2, hive.Setup{}.WithDefaults().Tuning), 1e-9)
}

// mild is a run of equal days without rain from mid-winter on.
func mild(latDeg float64, days int, lo, hi weather.Celsius) phenology.Season {
	return phenology.Season{
		LatDeg: latDeg, Start: phenology.YearStart(latDeg, 2025),
		Min:    slices.Repeat([]weather.Celsius{lo}, days),
		Max:    slices.Repeat([]weather.Celsius{hi}, days),
		RainMm: make([]float64, days),
	}
}

func ExampleCellsPerDm2() {
	fmt.Printf("%.0f cells of 5.4 mm\n", hive.CellsPerDm2(5.4))
	fmt.Printf("%.0f cells of 4.9 mm\n", hive.CellsPerDm2(4.9))
	// Output:
	// 792 cells of 5.4 mm
	// 962 cells of 4.9 mm
}

// Row 25 in kind: what foragers carry bounds the gain, however rich the
// forage. 20 000 foragers at the most, 13 trips, 40 mg are 10.4 kg of nectar at
// 40 %, 5.07 kg honey by the balance of row 1; the greatest gain on record is
// 15.9 kg (Alberta, HIVE.md, section 2.3).
func TestGainIsBoundedByForagers(t *testing.T) {
	s := mild(45, 250, 20, 25)
	rich := slices.Repeat([]float64{1e6}, s.Len())
	gain := slices.Max(hive.NewCourse(hive.Setup{}, s, rich).GainKg)
	require.LessOrEqual(t, gain, 0.85*10.4*0.40/0.82)
	require.Greater(t, gain, 2.0, "a strong colony")
}
