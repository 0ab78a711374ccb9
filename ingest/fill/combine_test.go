package fill

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// made is a record of n days at 0 °C and neighbours whose errors are independent
// parts of a draw mixed by rows of a matrix.
func made(n int, mix [][]float64) (*values, []uint8, []fitted) {
	r := rand.New(rand.NewPCG(3, 9))
	y, months := &values{at: make([]float64, n)}, make([]uint8, n)
	fits := make([]fitted, len(mix))
	for i := range n {
		months[i] = uint8(i / 30 % 12)
		parts := make([]float64, len(mix))
		for k := range parts {
			parts[k] = r.NormFloat64()
		}
		for a, row := range mix {
			e := 0.
			for k, w := range row {
				e += w * parts[k]
			}
			fits[a].estimate = append(fits[a].estimate, e)
		}
	}
	return y, months, fits
}

// Two neighbours are weighed as Bates and Granger 1969 weigh two forecasts, from
// memory: (σ₂² − ρσ₁σ₂) to (σ₁² − ρσ₁σ₂).
func TestWeightsOfTwo(t *testing.T) {
	for _, c := range []struct{ first, second, together float64 }{
		{1, 2, 0}, {1, 1, 0.9}, {1.5, 2, 0.5}, {1, 3, 0.2},
	} {
		rest := math.Sqrt(1 - c.together*c.together)
		y, months, fits := made(36_000, [][]float64{{c.first, 0}, {c.second * c.together, c.second * rest}})
		got := newCombination(y, months, fits).weights(4, 0b11)
		shared := c.together * c.first * c.second
		want := (c.second*c.second - shared) / (c.first*c.first + c.second*c.second - 2*shared)
		require.InDelta(t, want, got[0], 0.06, "%+v", c)
		require.InDelta(t, 1-want, got[1], 0.06, "%+v", c)
	}
}

// One that errs like a better one, only more, is left out; alone it speaks.
func TestWorseTwinIsLeftOut(t *testing.T) {
	y, months, fits := made(3600, [][]float64{{1, 0}, {2, 0.2}})
	c := newCombination(y, months, fits)
	require.Equal(t, []float64{1, 0}, c.weights(0, 0b11))
	require.Equal(t, []float64{0, 1}, c.weights(0, 0b10))
	fits[0].estimate[7] = math.NaN()
	require.Equal(t, fits[1].estimate[7], c.at(7))
	fits[1].estimate[7] = math.NaN()
	require.True(t, math.IsNaN(c.at(7)))
}

// Weights are never negative and add up to one, whatever neighbours there are,
// also where they have hardly a day in common.
func TestWeightsAreShares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "neighbours")
		mix := make([][]float64, n)
		for a := range mix {
			mix[a] = rapid.SliceOfN(rapid.Float64Range(-2, 2), n, n).Draw(t, "mix")
		}
		y, months, fits := made(rapid.IntRange(1, 500).Draw(t, "days"), mix)
		for i := range y.at {
			for a := range fits {
				if rapid.IntRange(0, 3).Draw(t, "gap") == 0 {
					fits[a].estimate[i] = math.NaN()
				}
			}
		}
		c := newCombination(y, months, fits)
		there := uint(rapid.IntRange(1, 1<<n-1).Draw(t, "there"))
		sum := 0.
		for a, w := range c.weights(rapid.IntRange(0, 11).Draw(t, "month"), there) {
			require.GreaterOrEqual(t, w, 0.)
			if there>>a&1 == 0 {
				require.Zero(t, w)
			}
			sum += w
		}
		require.InDelta(t, 1, sum, 1e-9)
	})
}
