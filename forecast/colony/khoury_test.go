package colony_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast/colony"
)

// Rows are those of ../shared/science/HIVE.md, section 12, worked out there
// outside this project from parameters read in public re-implementations of
// the two papers.

func khoury2011(m float64) colony.Khoury2011 {
	return colony.Khoury2011{L: 2000, W: 27000, A: 0.25, S: 0.75, M: m}
}

// Row 12.
func TestKhoury2011Equilibrium(t *testing.T) {
	ratio, n := khoury2011(0.24).Equilibrium()
	require.InDelta(t, 0.30723, ratio, 1e-5)
	require.InDelta(t, 8457.8, n, 0.1)
	for m, want := range map[float64]float64{0.10: 44129, 0.154: 22784} {
		_, n := khoury2011(m).Equilibrium()
		require.InDelta(t, want, n, 1, "m %g", m)
	}
	require.InDelta(t, 0.3552, khoury2011(0).Collapse(), 1e-4) // the paper prints about 0.355
}

// Row 13.
func TestKhoury2011Euler(t *testing.T) {
	h, f := 16000.0, 8000.0
	want := map[int][2]float64{1: {16941.2, 6080.0}, 2: {16982.0, 5500.4}, 10: {15019.3, 4718.3}}
	for day := 1; day <= 10; day++ {
		h, f = khoury2011(0.24).Step(h, f)
		if w, ok := want[day]; ok {
			require.InDelta(t, w[0], h, 0.1, "day %d", day)
			require.InDelta(t, w[1], f, 0.1, "day %d", day)
		}
	}
}

// Row 14.
func TestKhoury2013Euler(t *testing.T) {
	k := colony.Khoury2013{Tuning: colony.Tuning{}.WithDefaults(), M: 0.1, C: 0.1}
	b, h, f, food := 0.0, 16000.0, 8000.0, 1000.0
	want := map[int][4]float64{
		1:  {1219.0, 15200.0, 8000.0, 1632.0},
		10: {9112.7, 16240.8, 6267.1, 5385.3},
		50: {15288.7, 32610.6, 12498.9, 23346.7},
	}
	for day := 1; day <= 50; day++ {
		b, h, f, food = k.Step(b, h, f, food)
		if w, ok := want[day]; ok {
			require.InDeltaSlice(t, w[:], []float64{b, h, f, food}, 0.1, "day %d", day)
		}
	}
}

// Row 26: 40 000 adults and 8250 open brood use 0.4285 kg a day, by the
// defaults of the settings.
func TestUseOfAFullColony(t *testing.T) {
	d := colony.Tuning{}.WithDefaults()
	require.InDelta(t, 0.4285, (40000*d.AdultG+8250*d.BroodG)/1000, 0.0001)
}

// Rows 10 and 11: 18 000 capped cells are 1500 eggs a day (a queen breeders'
// sheet, read) and 1500 a day want 31 500 cells, 51.6 % of the 61 000 of a
// Langstroth deep.
func TestLayingArithmetic(t *testing.T) {
	require.InDelta(t, 1500, colony.EggsPerDay(18000), 0.1)
	require.InDelta(t, 31500, colony.BroodCells(1500), 0)
	require.InDelta(t, 0.5164, colony.BroodCells(1500)/61000, 0.0001)
}

// Row 25: 10 000 foragers, ten trips of 25 mg of nectar at 40 % are 2.5 kg and
// 1.22 kg of honey at 18 % water (trips Park 1928, load from memory).
func TestIntake(t *testing.T) {
	require.InDelta(t, 2.5, colony.IntakeKg(10000, 10, 25), 1e-9)
	require.InDelta(t, 1.22, colony.IntakeKg(10000, 10, 25)*0.40/0.82, 0.005)
}

// Row 27: 1 kg a day with 30 % staying below takes 792 cells a day; 3 kg fill
// the 29 500 cells that a queen leaves in a deep in 12.4 days.
func TestBackfill(t *testing.T) {
	require.InDelta(t, 792, colony.BackfillCells(1*0.3), 1)
	require.InDelta(t, 12.4, 29500/colony.BackfillCells(3*0.3), 0.05)
}
