package forecast

import (
	"math"
	"slices"

	"bloomtide/ingest/weather"
)

// Window is a date with its doubt: the days by which 10, 50 and 90 % of the
// members that reach it have done so, and the share of members that do. Likely
// is always the day of some member: where half come early and half late, the
// day between is nobody's.
type Window struct {
	Early, Likely, Late weather.Date
	Share               float64 // 0 to 1; 0: no member reaches it and the dates mean nothing
}

// NewWindow returns the window of the days reached by some of a number of
// members. Early is rounded down and Late up; of an even number of days
// Likely is the earlier of the two in the middle.
func NewWindow(days []weather.Date, members int) Window {
	if len(days) == 0 || members == 0 {
		return Window{}
	}
	x := make([]float64, len(days))
	for i, d := range days {
		x[i] = float64(d)
	}
	likely := slices.Sorted(slices.Values(days))[(len(days)-1)/2]
	return Window{
		Early:  min(weather.Date(math.Floor(Quantile(x, 0.1)+rounding)), likely),
		Likely: likely,
		Late:   weather.Date(math.Ceil(Quantile(x, 0.9) - rounding)),
		Share:  float64(len(days)) / float64(members),
	}
}

// notBefore moves each day of the window to that of an earlier task's window
// where it lies before it. The share stays.
func (w *Window) notBefore(first Window) {
	w.Early = max(w.Early, first.Early)
	w.Likely = max(w.Likely, first.Likely)
	w.Late = max(w.Late, first.Late)
}

// rounding keeps the last bits of a quantile from moving a whole day, days.
const rounding = 1e-6

// Quantile returns the p-quantile, 0 ≤ p ≤ 1, by linear interpolation between
// order statistics, and NaN for no values. It leaves x as it is.
//
// Rule 7 of Hyndman and Fan 1996, Am. Stat. 50:361 (from memory).
func Quantile(x []float64, p float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := slices.Clone(x)
	slices.Sort(s)
	return quantileOf(s, p)
}

// quantileOf is Quantile of values in order, at least one.
func quantileOf(s []float64, p float64) float64 {
	h := p * float64(len(s)-1)
	i := min(int(h), len(s)-1)
	j := min(i+1, len(s)-1)
	return s[i] + (h-float64(i))*(s[j]-s[i])
}

// Median returns the middle of the values, NaN for none.
func Median(x []float64) float64 { return Quantile(x, 0.5) }
