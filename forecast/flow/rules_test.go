package flow_test

import (
	"math"
	"testing"

	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"

	"github.com/stretchr/testify/require"
)

// Computed independently for the project: Gini within the flow of a short and
// an even run.
func TestGini(t *testing.T) {
	require.InDelta(t, 0.4267, flow.Gini([]float64{1, 2, 4, 6, 7, 5, 3, 1, 1, 0}), 1e-4)
	even := make([]float64, 30)
	for i := range even {
		even[i] = 1
	}
	require.InDelta(t, 0, flow.Gini(even), 1e-12)
	require.Zero(t, flow.Gini(nil))
}

// Computed independently for the project from the sine of a day.
func TestHoursAbove(t *testing.T) {
	require.InDelta(t, 13.279, flow.HoursAbove(8, 20, 13), 1e-3)
	require.InDelta(t, 7.084, flow.HoursAbove(4, 14, 12), 1e-3)
	require.Equal(t, 24.0, flow.HoursAbove(15, 15, 12))
	require.Equal(t, 0.0, flow.HoursAbove(2, 9, 12))
}

func TestZeroRulesAreTheDefaults(t *testing.T) {
	require.Equal(t, flow.DefaultRules(), flow.Rules{}.WithDefaults())
	mine := flow.Rules{ShortSharpDays: 15}.WithDefaults()
	require.Equal(t, 15.0, mine.ShortSharpDays)
	require.Equal(t, flow.ShortSharp, mine.ShapeOf(14))
	require.Equal(t, flow.Middling, flow.ShapeOf(14))
}

func TestGapsAreBreaksInsideAFlow(t *testing.T) {
	gain := []float64{0, 0, 2, 2, 2, 2, -0.4, -0.4, -0.4, -0.4, 2, 2, 2, 0, 0, 0, 0, 0, 0, 0, 0, 0}
	flows := flow.Detect(gain, 100)
	require.Len(t, flows, 1)
	require.Len(t, flows[0].Gaps, 1)
	require.Equal(t, flow.Gap{From: 107, To: 109}, flows[0].Gaps[0], "smoothed over three days, two stay below")
	require.Equal(t, 2, flows[0].GapDays())
}

// A box put on or honey taken is no gain or loss of the bees (the rule of the
// TrachtNet scales, on daily readings).
func TestWeighedTakesTheKeepersHandOut(t *testing.T) {
	r := flow.DefaultRules()
	g := r.Weighed([]flow.Reading{
		{Date: 10, Kg: 40}, {Date: 11, Kg: 41.5}, {Date: 12, Kg: 60}, // a super of 17 kg goes on
		{Date: 13, Kg: 61}, {Date: 15, Kg: 63}, {Date: 16, Kg: 62.8, Handled: true}, {Date: 17, Kg: 45}, // harvest
	})
	require.Equal(t, weather.Date(10), g.Start)
	require.Equal(t, []weather.Date{12, 16, 17}, g.Jumps)
	require.InDeltaSlice(t, []float64{0, 1.5, 0, 1, 1, 1, 0, 0}, g.GainKg, 1e-9)
	require.Equal(t, 1, g.Bridged)
	require.Empty(t, r.Weighed(nil).GainKg)
}

// HIVE.md (../shared/science), section 1.6: clamp((8 − u)/4), so calm up to 4
// m/s and no flight from 8, near the 15 mph (6.7 m/s) at which beekeepers' texts
// see it stop.
func TestWindFactor(t *testing.T) {
	r := flow.DefaultRules()
	for u, want := range map[float64]float64{0: 1, 4: 1, 5: 0.75, 6.7: 0.325, 8: 0, 20: 0} {
		require.InDelta(t, want, r.WindFactor(u), 1e-9, "%g m/s", u)
	}
	require.Equal(t, 1.0, r.WindFactor(math.NaN()), "not known counts as calm")
	s := phenology.Season{LatDeg: 45, Min: []weather.Celsius{15, 15}, Max: []weather.Celsius{25, 25}, RainMm: []float64{0, 0}, WindMs: []float64{2, 6}}
	g := []flow.Growing{{Stand: flow.Stand{Hectares: 1, PeakKgPerHaDay: 6}, Bloom: phenology.Bloom{Onset: -10, Peak: 0, End: 11}}}
	kg := r.Supply(s, g)
	s.WindMs = nil
	calm := r.Supply(s, g)
	require.InDelta(t, calm[0], kg[0], 1e-12)
	require.InDelta(t, calm[1]/2, kg[1], 1e-12)
}
