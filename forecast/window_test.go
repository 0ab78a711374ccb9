package forecast_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// Rule 7 worked by hand: position p(n−1) counted from 0. R's quantile() uses
// it unless told otherwise (Hyndman and Fan 1996, Am. Stat. 50:361). The first
// four are the values that ../shared/science/PHENOLOGY.md, section 6, warns of:
// gonum's interpolation gives 100 for the first.
func TestQuantileByHand(t *testing.T) {
	onsets := []float64{110, 100, 104, 103} // not in order
	for _, c := range []struct {
		x       []float64
		p, want float64
	}{
		{onsets, 0.1, 100.9}, // 0.3 of the way from 100 to 103
		{onsets, 0.5, 103.5},
		{onsets, 0.9, 108.2}, // 0.7 of the way from 104 to 110
		{onsets, 0.25, 102.25},
		{onsets, 0, 100},
		{onsets, 1, 110},
		{[]float64{7}, 0.9, 7},
		{[]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}, 0.1, 2},
		{[]float64{5, 5, 5}, 0.3, 5},
	} {
		require.InDelta(t, c.want, forecast.Quantile(c.x, c.p), 1e-12, "%v at %g", c.x, c.p)
	}
	require.Equal(t, []float64{110, 100, 104, 103}, onsets, "input changed")
	require.True(t, math.IsNaN(forecast.Quantile(nil, 0.5)))
	require.InDelta(t, 103.5, forecast.Median(onsets), 1e-12)
}

// Rule 7 meets gonum's empirical quantile, which does not interpolate, exactly
// on the order statistics: at p = i/(n−1) both are the (i+1)th value.
func TestQuantileAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 2, 40).Draw(t, "x")
		sorted := slices.Sorted(slices.Values(x))
		n := len(x)
		i := rapid.IntRange(0, n-1).Draw(t, "i")
		rank := (float64(i) + 0.5) / float64(n) // between two steps of the empirical distribution
		require.InDelta(t, stat.Quantile(rank, stat.Empirical, sorted, nil), forecast.Quantile(x, float64(i)/float64(n-1)), 1e-6)
		p, q := rapid.Float64Range(0, 1).Draw(t, "p"), rapid.Float64Range(0, 1).Draw(t, "q")
		require.LessOrEqual(t, forecast.Quantile(x, min(p, q)), forecast.Quantile(x, max(p, q)))
	})
}

func TestNewWindow(t *testing.T) {
	require.Zero(t, forecast.NewWindow(nil, 12))
	require.Zero(t, forecast.NewWindow([]weather.Date{3}, 0))
	// 100.9 and 108.2 of the table above: early down, late up; the middle lies
	// between 103 and 104, and likely is the day of a member.
	require.Equal(t, forecast.Window{Early: 100, Likely: 103, Late: 109, Share: 0.5},
		forecast.NewWindow([]weather.Date{110, 100, 104, 103}, 8))
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) weather.Date {
			return weather.Date(rapid.IntRange(-40000, 40000).Draw(t, "day"))
		}), 1, 30).Draw(t, "days")
		before := slices.Clone(days)
		members := len(days) + rapid.IntRange(0, 30).Draw(t, "members that do not reach it")
		w := forecast.NewWindow(days, members)
		require.Equal(t, before, days, "input changed")
		requireWindow(t, w)
		require.Positive(t, w.Share)
		require.GreaterOrEqual(t, w.Early, slices.Min(days))
		require.LessOrEqual(t, w.Late, slices.Max(days))
		require.Equal(t, w, forecast.NewWindow(rapid.Permutation(days).Draw(t, "order of members"), members))
		later := make([]weather.Date, len(days))
		for i, d := range days {
			later[i] = d + 7
		}
		moved := forecast.NewWindow(later, members)
		require.Equal(t, []weather.Date{w.Early + 7, w.Late + 7}, []weather.Date{moved.Early, moved.Late})
	})
}
