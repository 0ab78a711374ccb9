package verify_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"bloomtide/forecast/verify"
)

// Computed outside this project by a Python script from the pair form and by
// integration of the squared distance: ../shared/science/PHENOLOGY.md, 5.3.
func TestCRPSCheckValues(t *testing.T) {
	for _, c := range []struct {
		members   []float64
		y         float64
		nrg, fair float64
	}{
		{[]float64{100, 103, 104, 110}, 105, 1.312500, 0.666667},
		{[]float64{100, 103, 104, 110}, 95, 7.312500, 6.666667},
		{[]float64{110, 110, 112, 115, 121}, 112, 1.04, 0.5},
	} {
		require.InDelta(t, c.nrg, verify.CRPS(c.members, c.y), 0.5e-6)
		require.InDelta(t, c.fair, verify.FairCRPS(c.members, c.y), 0.5e-6)
	}
	require.InDelta(t, 3, verify.CRPS([]float64{120}, 117), 1e-12)
	require.True(t, math.IsNaN(verify.FairCRPS([]float64{120}, 117)))
	require.True(t, math.IsNaN(verify.CRPS(nil, 117)))
}

// The value that the tests of the Python package scoringrules publish for
// weighted members (tests/test_crps.py, read for PHENOLOGY.md, 5.3).
func TestWeightedCRPSPublishedValue(t *testing.T) {
	members := []float64{1.7812118, 0.5863797, 0.7038174, -0.7743998, -0.2751647, 1.1863249, 1.2990966, -0.3242982, -0.5968781, 0.9064937}
	weights := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	require.InDelta(t, 0.4923673, verify.WeightedCRPS(members, weights, -0.6042506), 0.5e-7)
	require.True(t, math.IsNaN(verify.WeightedCRPS(members, weights[1:], 0)))
	require.True(t, math.IsNaN(verify.WeightedFairCRPS(members[:2], weights[:2], 0)), "only one member has weight")
}

// Computed outside this project: PHENOLOGY.md, 5.3.
func TestNormalCRPSAndIntervalCheckValues(t *testing.T) {
	for y, want := range map[float64]float64{120: 0.934780, 123: 1.792577, 110: 7.759275} {
		require.InDelta(t, want, verify.NormalCRPS(120, 4, y), 0.5e-6)
	}
	i := verify.Interval{Low: 112, High: 124}
	for y, want := range map[float64]float64{118: 12, 109: 42, 127: 42} {
		require.InDelta(t, want, i.Score(0.2, y), 1e-12)
	}
	require.True(t, i.Holds(112) && i.Holds(124) && !i.Holds(124.5))
}

// The score is by definition the integral of (F(z) − 1{y ≤ z})², here by gonum's
// quadrature, piece by piece between the steps.
func TestCRPSIsItsIntegral(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		members := rapid.SliceOfN(rapid.Float64Range(60, 160), 1, 12).Draw(t, "members")
		y := rapid.Float64Range(60, 160).Draw(t, "y")
		steps := append([]float64{y}, members...)
		lo, hi := verify.Quantile(steps, 0), verify.Quantile(steps, 1)
		f := func(z float64) float64 {
			below := 0.0
			for _, x := range members {
				if x <= z {
					below++
				}
			}
			share := below / float64(len(members))
			if y <= z {
				share--
			}
			return share * share
		}
		want := 0.0
		for k := range len(steps) - 1 {
			a, b := ordered(steps, k), ordered(steps, k+1)
			if b > a {
				want += quad.Fixed(f, a, b, 3, nil, 0)
			}
		}
		require.InDelta(t, want, verify.CRPS(members, y), 1e-9*(hi-lo+1))
	})
}

func ordered(x []float64, k int) float64 {
	return verify.Quantile(x, float64(k)/float64(len(x)-1))
}

func TestNormalCRPSIsItsIntegral(t *testing.T) {
	for _, y := range []float64{110, 119, 120, 131.5} {
		d := distuv.Normal{Mu: 120, Sigma: 4}
		below := quad.Fixed(func(z float64) float64 { return d.CDF(z) * d.CDF(z) }, 60, y, 400, nil, 0)
		above := quad.Fixed(func(z float64) float64 { return (1 - d.CDF(z)) * (1 - d.CDF(z)) }, y, 180, 400, nil, 0)
		require.InDelta(t, below+above, verify.NormalCRPS(120, 4, y), 1e-6)
	}
	require.InDelta(t, 3, verify.NormalCRPS(120, 0, 117), 1e-12)
}

// Equal weights are no weights, and the pair form is the sorted form.
func TestWeightedCRPSOfEqualWeights(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		members := rapid.SliceOfN(rapid.Float64Range(-50, 50), 2, 12).Draw(t, "members")
		y := rapid.Float64Range(-50, 50).Draw(t, "y")
		w := make([]float64, len(members))
		for i := range w {
			w[i] = 7
		}
		require.InDelta(t, verify.CRPS(members, y), verify.WeightedCRPS(members, w, y), 1e-9)
		require.InDelta(t, verify.FairCRPS(members, y), verify.WeightedFairCRPS(members, w, y), 1e-9)
	})
}

// A fair score does not depend on the size of the ensemble on average; the
// plain one is inflated by 1 + 1/m (Ferro 2014). Members and truth are drawn
// from one normal distribution, whose expected score is σ/√π.
func TestFairCRPSOfAReliableEnsemble(t *testing.T) {
	const cases, m = 20000, 4
	d := distuv.Normal{Mu: 0, Sigma: 1, Src: fixed(11)}
	var plain, fair float64
	x := make([]float64, m)
	for range cases {
		for i := range x {
			x[i] = d.Rand()
		}
		y := d.Rand()
		plain += verify.CRPS(x, y) / cases
		fair += verify.FairCRPS(x, y) / cases
	}
	want := 1 / math.Sqrt(math.Pi)
	require.InDelta(t, want, fair, 0.02)
	require.InDelta(t, want*(1+1.0/m), plain, 0.02)
}

// Means and correlations against gonum's stat.
func TestErrorsAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-40, 40), 1, 50).Draw(t, "errors")
		e := verify.Errors(x)
		require.InDelta(t, stat.Mean(x, nil), e.Bias(), 1e-9)
		mean, variance := stat.PopMeanVariance(x, nil)
		require.InDelta(t, math.Sqrt(variance+mean*mean), e.RMSE(), 1e-9)
		require.LessOrEqual(t, e.MAE(), e.RMSE()+1e-9)
		require.GreaterOrEqual(t, e.MAE(), math.Abs(e.Bias())-1e-9)
	})
	require.InDelta(t, 0.75, verify.Errors{1, -1}.Skill(verify.Errors{2, -2}), 1e-12)
	require.InDelta(t, 0.25, verify.SkillScore(3, 4), 1e-12)
	require.True(t, math.IsNaN(verify.SkillScore(3, 0)))
	require.True(t, math.IsNaN(verify.Errors{1}.Skill(verify.Errors{0})))
}

// Rule 7 of Hyndman and Fan by hand: of 100, 103, 104, 110 the tenth lies at
// 0.3 of the way from the first to the second.
func TestQuantile(t *testing.T) {
	x := []float64{110, 100, 104, 103}
	require.InDelta(t, 100.9, verify.Quantile(x, 0.1), 1e-12)
	require.InDelta(t, 103.5, verify.Quantile(x, 0.5), 1e-12)
	require.Equal(t, []float64{110, 100, 104, 103}, x, "the argument is as it was")
	c := verify.Central(x, 0.8)
	require.InDelta(t, 100.9, c.Low, 1e-12)
	require.InDelta(t, 108.2, c.High, 1e-12)
	require.True(t, math.IsNaN(verify.Quantile(nil, 0.5)))
}

func TestRank(t *testing.T) {
	x := []float64{1, 2, 2, 3}
	require.Equal(t, 0, verify.Rank(x, 0, 0.5))
	require.Equal(t, 4, verify.Rank(x, 9, 0.5))
	require.Equal(t, 1, verify.Rank(x, 2, 0))
	require.Equal(t, 3, verify.Rank(x, 2, 0.99))
}

// The percentile interval of a mean against the normal theory of gonum: with
// 200 cases of standard deviation 1 it is ±1.645/√200.
func TestBootstrap(t *testing.T) {
	d := distuv.Normal{Mu: 5, Sigma: 1, Src: fixed(3)}
	x := make([]float64, 200)
	for i := range x {
		x[i] = d.Rand()
	}
	mean := func(cases []int) float64 {
		s := 0.0
		for _, i := range cases {
			s += x[i]
		}
		return s / float64(len(cases))
	}
	i := verify.Bootstrap(len(x), 0.9, 1, mean)
	m, sd := stat.MeanStdDev(x, nil)
	half := distuv.UnitNormal.Quantile(0.95) * sd / math.Sqrt(200)
	require.InDelta(t, m-half, i.Low, 0.02)
	require.InDelta(t, m+half, i.High, 0.02)
	require.Equal(t, i, verify.Bootstrap(len(x), 0.9, 1, mean), "same seed, same interval")
	require.True(t, math.IsNaN(verify.Bootstrap(1, 0.9, 1, mean).Low))
}

func BenchmarkFairCRPS(b *testing.B) {
	d := distuv.Normal{Mu: 120, Sigma: 6, Src: fixed(1)}
	x := make([]float64, 40)
	for i := range x {
		x[i] = d.Rand()
	}
	b.ReportAllocs()
	for b.Loop() {
		verify.FairCRPS(x, 121)
	}
}
