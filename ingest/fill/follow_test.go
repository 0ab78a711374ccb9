package fill

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is gathered in two passes is the sum over all days, written out: the
// departures more than gap days away, each weighed by exp(-distance/followDays).
func TestSurroundingsAreSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		departure := rapid.SliceOfN(rapid.Float64Range(-20, 20), 1, 150).Draw(t, "departures")
		for i := range departure {
			if rapid.IntRange(0, 3).Draw(t, "known") == 0 {
				departure[i] = math.NaN()
			}
		}
		i, gap := rapid.IntRange(0, len(departure)-1).Draw(t, "day"), rapid.IntRange(0, 40).Draw(t, "gap")
		var sum, weight float64
		for j, d := range departure {
			if away := max(i-j, j-i); away > gap && !math.IsNaN(d) {
				w := math.Exp(-float64(away) / followDays)
				sum += w * d
				weight += w
			}
		}
		x, w := newSurroundings(departure).mean(i, gap)
		require.InDelta(t, weight, w, 1e-9)
		require.InDelta(t, sum/(weight+doubtDays), x, 1e-9)
	})
}

// A gap in the middle of a departure of months is filled with most of it, and
// told to be less sure the further from its ends.
func TestFollowCarriesADepartureThroughAGap(t *testing.T) {
	const days, from, to = 600, 290, 320
	y := &values{at: make([]float64, days), made: make([]bool, days)}
	n := &neighbours{mean: make([]float64, days), months: make([]uint8, days)}
	for i := range y.at {
		y.at[i] = 3 * math.Sin(float64(i)/5) * 0.1
		if i > 200 && i < 400 {
			y.at[i] += 3
		}
		if i >= from && i < to {
			y.at[i] = math.NaN()
		}
	}
	n.follow(y)
	middle := (from + to) / 2
	require.Greater(t, n.mean[middle], 1.5)
	require.Less(t, n.mean[middle], 3.0)
	require.Less(t, math.Abs(n.mean[50]), 0.5)
	require.Greater(t, n.unfollowed(middle), n.unfollowed(from))
	require.Positive(t, n.unfollowed(from))
}
