package phenology_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/phenology"
)

// The published days of Zalom et al. 1983, table 7 (above 55 °F, horizontal
// cutoff at 90 °F), and of the University of California's station Esparto.A in
// January 2020 (55 and 93.9 °F), to six decimals: °F·d by single and double
// triangle and single and double sine. The print has two decimals; the other
// four are a Python script's outside this project, and three rows of the first
// table were integrated as well: ../shared/science/PHENOLOGY.md, section 1.5,
// columns C of table a and brackets of table c.
func TestHeatPublishedDaysToSixDecimals(t *testing.T) {
	type row struct {
		day            [3]float64
		st, dt, ss, ds float64
	}
	for _, table := range []struct {
		upper float64
		rows  []row
	}{
		{90, []row{
			{[3]float64{96, 110, 91}, 35, 35, 35, 35},
			{[3]float64{91, 105, 96}, 35, 35, 35, 35},
			{[3]float64{45, 54, 38}, 0, 0, 0, 0},
			{[3]float64{38, 50, 45}, 0, 0, 0, 0},
			{[3]float64{60, 80, 75}, 15, 18.75, 15, 18.75},
			{[3]float64{75, 88, 60}, 26.5, 22.75, 26.5, 22.75},
			{[3]float64{50, 82, 45}, 11.390625, 10.620988, 11.852637, 11.312318},
			{[3]float64{45, 70, 50}, 4.5, 5.0625, 5.308720, 5.699349},
			{[3]float64{60, 100, 75}, 23.75, 27.125, 22.820044, 26.255662},
			{[3]float64{75, 95, 60}, 29.375, 25.758929, 28.910022, 25.297967},
			{[3]float64{50, 101, 48}, 19.558824, 19.189789, 18.952631, 18.686475},
			{[3]float64{48, 95, 50}, 16.755319, 17.127660, 16.964719, 17.232360},
		}},
		{93.9, []row{
			{[3]float64{38, 55, 36}, 0, 0, 0, 0},
			{[3]float64{36, 67, 33}, 2.322581, 2.220114, 3.310130, 3.228591},
			{[3]float64{33, 59, 37}, .307692, .335664, .676664, .707274},
			{[3]float64{37, 59, 38}, .363636, .372294, .737884, .746931},
			{[3]float64{38, 63, 36}, 1.28, 1.232593, 1.989604, 1.949305},
			{[3]float64{36, 58, 30}, .204545, .182630, .476887, .449140},
		}},
	} {
		for _, r := range table.rows {
			t.Run(fmt.Sprint(r.day), func(t *testing.T) {
				for m, want := range map[phenology.Method]float64{
					singleTriangle: r.st, doubleTriangle: r.dt, singleSine: r.ss, doubleSine: r.ds,
				} {
					require.InDelta(t, want, heatF(m, r.day, 55, table.upper), half(6), m)
				}
			})
		}
	}
}

// Wrong results that are known to be in print, computed from the error that
// each is said to hold, so that the right ones beside them are seen to differ:
// PHENOLOGY.md, sections 1.7 and 2.6.
func TestKnownErrorsInPrint(t *testing.T) {
	// Taking 32 off a sum of 548 °F·d before the factor.
	require.InDelta(t, 286.667, (548-32)*phenology.PerFahrenheit, half(3))
	// A published R package has sin Γ for sin 2Γ in Spencer's fifth term: on the
	// days of section 2.6 at 60° that shifts the day by no more than 0.016 h (over
	// the whole year by up to 0.03 h).
	most := 0.0
	for _, doy := range []int{80, 172} {
		most = max(most, math.Abs(spencerMisprinted(60, doy)-phenology.SpencerDaylength(60, doy)))
	}
	require.LessOrEqual(t, most, 0.016)
	require.Greater(t, most, 0.01, "the two differ")
}

func spencerMisprinted(lat float64, doy int) float64 {
	g := 2 * math.Pi * float64(doy-1) / 365
	δ := 0.006918 - 0.399912*math.Cos(g) + 0.070257*math.Sin(g) - 0.006758*math.Cos(2*g) +
		0.000907*math.Sin(g) - 0.002697*math.Cos(3*g) + 0.00148*math.Sin(3*g)
	l, p := lat*math.Pi/180, 0.8333*math.Pi/180
	c := (math.Sin(-p) - math.Sin(l)*math.Sin(δ)) / (math.Cos(l) * math.Cos(δ))
	return 24 / math.Pi * math.Acos(c)
}
