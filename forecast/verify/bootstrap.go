package verify

import (
	"math"
	"math/rand/v2"
	"slices"
)

// resamples of a bootstrap: 1000 give the ends of a 90 % interval to about a
// tenth of its width (common practice, no source).
const resamples = 1000

// Bootstrap returns the interval that holds a share p of a statistic when the
// cases, such as years, are drawn anew with replacement. Cases are drawn whole:
// a statistic that compares two forecasts sees both errors of a year.
//
//	n     number of cases, at least 2, else NaN
//	seed  same seed, same interval
//	of    the statistic of the cases with these indices; NaN results are left out
//
// Percentile interval, Efron and Tibshirani 1993.
func Bootstrap(n int, p float64, seed uint64, of func(cases []int) float64) Interval {
	if n < 2 {
		return Interval{math.NaN(), math.NaN()}
	}
	r := rand.New(rand.NewPCG(seed, uint64(n)))
	drawn := make([]int, n)
	values := make([]float64, 0, resamples)
	for range resamples {
		for i := range drawn {
			drawn[i] = r.IntN(n)
		}
		if v := of(drawn); !math.IsNaN(v) {
			values = append(values, v)
		}
	}
	slices.Sort(values)
	return Interval{sortedQuantile(values, (1-p)/2), sortedQuantile(values, (1+p)/2)}
}
