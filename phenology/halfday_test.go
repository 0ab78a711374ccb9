package phenology

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The cubics are the formula of Baskerville and Emin 1969, which aboveSine
// computes and whose published values hold it, to a hundredth of a billionth of a
// degree day a day.
func TestHalfDayIsTheSine(t *testing.T) {
	h := newHalfDay()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Float64Range(-60, 50).Draw(t, "min")
		x := n + rapid.OneOf(rapid.Just(0.), rapid.Float64Range(0, 40), rapid.Float64Range(0, 1e-9)).Draw(t, "range")
		at := rapid.OneOf(
			rapid.Float64Range(-70, 70), // anywhere
			rapid.Map(rapid.Float64Range(0, 1), func(f float64) float64 { return n + f*(x-n) }),        // within the day
			rapid.Map(rapid.Float64Range(-1e-9, 1e-9), func(f float64) float64 { return x + f }),       // at the maximum
			rapid.Map(rapid.Float64Range(-1e-9, 1e-9), func(f float64) float64 { return n + f }),       // at the minimum
			rapid.Map(rapid.Float64Range(-1e-9, 1e-9), func(f float64) float64 { return (n+x)/2 + f }), // at the mean
		).Draw(t, "threshold")
		require.InDelta(t, aboveSine(n, x, at), h.above(n, x, at), 1e-11)
	})
	worst := 0.
	for i := range 400_001 {
		at := float64(i)/1e4 - 20
		worst = max(worst, aboveSine(-20, 20, at)-h.above(-20, 20, at), h.above(-20, 20, at)-aboveSine(-20, 20, at))
	}
	t.Logf("at most %.2g °C·d off on a day of 40 K", worst)
	require.Less(t, worst, 1e-11)
}
