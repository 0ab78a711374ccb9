package qc

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bloomtide/ingest/weather"
)

// changes reports steps of level that stay: of each extreme against the mean
// of the neighbours, or where there are none, of the daily range, which a
// warming climate moves little and a new screen or site moves much.
func changes(w *work) {
	if len(w.o.Neighbours) == 0 {
		w.steps(1, w.monthMeans(func(i int) (float64, bool) {
			low, okLow := w.value(i, 0)
			high, okHigh := w.value(i, 1)
			return high - low, okLow && okHigh
		}), level{"the daily range", 1})
		return
	}
	others := w.longest()
	for e := range extremes {
		w.steps(e, w.monthMeans(func(i int) (float64, bool) {
			t, ok := w.value(i, e)
			if !ok {
				return 0, false
			}
			var sum float64
			n := 0
			for _, s := range others {
				if v, ok := of(s.At(w.s.Start+weather.Date(i)), e); ok {
					sum += v
					n++
				}
			}
			return t - sum/float64(max(1, n)), n == len(others)
		}), level{"its level against the neighbours", 0.5})
	}
}

// longest returns the neighbours with most days in common with the record, at
// most three: all of them must have a day, lest their coming and going look
// like a step.
func (w *work) longest() []weather.Series {
	const most = 3
	common := func(s weather.Series) int {
		return max(0, int(min(s.End(), w.s.End())-max(s.Start, w.s.Start)))
	}
	out := slices.Clone(w.o.Neighbours)
	slices.SortStableFunc(out, func(a, b weather.Series) int { return cmp.Compare(common(b), common(a)) })
	return out[:min(most, len(out))]
}

// monthMean is a month's mean departure from its usual, K.
type monthMean struct {
	first int // day of the record
	k     float64
}

// monthMeans returns the months with 20 days and more, each less the mean of
// that month in all years.
func (w *work) monthMeans(day func(int) (float64, bool)) []monthMean {
	const fewest = 20
	var out []monthMean
	var sum, count [12]float64
	for i := 0; i < len(w.s.Days); {
		_, _, d := (w.s.Start + weather.Date(i)).YMD()
		to := min(len(w.s.Days), i+w.monthDays(i)-d+1)
		var total, n float64
		for j := i; j < to; j++ {
			if v, ok := day(j); ok {
				total += v
				n++
			}
		}
		if n >= fewest {
			out = append(out, monthMean{i, total / n})
			sum[w.month(i)] += total / n
			count[w.month(i)]++
		}
		i = to
	}
	for i := range out {
		m := w.month(out[i].first)
		out[i].k -= sum[m] / count[m]
	}
	return out
}

// level is what is watched for steps, and the smallest step that is reported,
// K: smaller ones matter little for bloom, and a range alone moves with the
// climate too. Our own choices.
type level struct {
	name   string
	leastK float64
}

// steps looks for the weightiest step, and then in the parts before and after.
func (w *work) steps(e int, all []monthMean, of level) {
	const fewest = 24 // months on either side, our own choice
	if len(all) < 2*fewest {
		return
	}
	at, weight, stepK := homogeneity(all, fewest)
	if weight < critical || math.Abs(stepK) < of.leastK {
		return
	}
	w.found(all[at].first, len(w.s.Days), e, fmt.Sprintf("from here on %s is %+.1f K off what it was", of.name, stepK),
		"it is used as it stands; where the station was moved or rebuilt, use the years after")
	last := len(w.findings) - 1
	w.findings[last].Through = w.findings[last].Date
	w.steps(e, all[:at], of)
	w.steps(e, all[at:], of)
}

// critical is the weight above which a step is hardly chance. The standard
// normal homogeneity test has 95 % critical values of about 9 to 10 for 100 to
// 500 values without memory (Khaliq and Ouarda 2007, from memory). Months
// remember, so much more is asked for here; our own choice.
const critical = 40

// homogeneity returns where the series is best cut in two, the test's weight
// of that cut and the step, K. With z the standardised values and z̄ the means
// of the k before and the n−k after, the weight is
//
//	T(k) = k z̄₁² + (n−k) z̄₂²
//
// Alexandersson 1986.
func homogeneity(all []monthMean, fewest int) (at int, weight, stepK float64) {
	n := float64(len(all))
	var sum, square float64
	for _, m := range all {
		sum += m.k
		square += m.k * m.k
	}
	variance := (square - sum*sum/n) / (n - 1)
	if !(variance > 0) {
		return 0, 0, 0
	}
	var before float64
	for i, m := range all {
		if k := float64(i); i >= fewest && len(all)-i >= fewest {
			z1, z2 := (before/k-sum/n)/math.Sqrt(variance), ((sum-before)/(n-k)-sum/n)/math.Sqrt(variance)
			if t := k*z1*z1 + (n-k)*z2*z2; t > weight {
				at, weight, stepK = i, t, (sum-before)/(n-k)-before/k
			}
		}
		before += m.k
	}
	return at, weight, stepK
}
