package phenology

import (
	"math"

	"bloomtide/ingest/weather"
)

// DegreeDays is accumulated temperature above a lower threshold, °C·d. It
// converts to °F·d by 1.8 without an offset.
type DegreeDays float64

// PerFahrenheit converts degree days from °F·d to °C·d: one °F of difference
// is 5/9 K, by definition of the scale.
const PerFahrenheit = 5.0 / 9.0

// Thresholds bound the temperatures at which a plant develops.
type Thresholds struct {
	Lower weather.Celsius // no development at or below
	Upper weather.Celsius // cutoff; +Inf or any value ≤ Lower: none
}

// capped reports whether there is an upper threshold.
func (t Thresholds) capped() bool {
	return t.Upper > t.Lower && !math.IsInf(float64(t.Upper), 1)
}

// Extremes are one day's minimum and maximum and the next day's minimum, °C.
// Double methods use NextMin for the second half of the day; where it is
// unknown give Min.
type Extremes struct {
	Min, Max, NextMin weather.Celsius
}

// Curve is the shape of temperature over a day.
type Curve uint8

// The curves. Average and ModifiedAverage have no shape: they use the mean of
// the extremes (McMaster and Wilhelm 1997, methods 1 and 2).
const (
	Sine Curve = iota
	Triangle
	Average
	ModifiedAverage
)

// Cutoff says what happens above the upper threshold.
type Cutoff uint8

// The cutoffs (Roltsch et al. 1999). Horizontal: the rate stays at its
// highest. Intermediate: it falls as fast as it rose, floored at 0. Vertical:
// development stops.
const (
	Horizontal Cutoff = iota
	Intermediate
	Vertical
)

// Method is one way to count degree days. The zero value is the single sine
// with horizontal cutoff.
type Method struct {
	Curve  Curve
	Double bool // the second half of the day ends at the next day's minimum
	Cutoff Cutoff
}

// Heat returns the degree days of one day, °C·d, 0 or more.
//
// Averages follow McMaster and Wilhelm 1997 and always cut off horizontally.
// The other methods follow one core: the mean over the day of the excess above
// each threshold. A day whose Max lies below its Min gives NaN.
func (m Method) Heat(d Extremes, t Thresholds) DegreeDays {
	if !(d.Min <= d.Max) {
		return DegreeDays(math.NaN())
	}
	switch m.Curve {
	case Average:
		return plainAverage(d, t)
	case ModifiedAverage:
		return modifiedAverage(d, t)
	}
	if !m.Double {
		return DegreeDays(m.day(float64(d.Min), float64(d.Max), t))
	}
	second := min(d.NextMin, d.Max)
	return DegreeDays(0.5*m.day(float64(d.Min), float64(d.Max), t) +
		0.5*m.day(float64(second), float64(d.Max), t))
}

// day combines the excess above the thresholds by the cutoff.
//
//	n, x  minimum and maximum, °C, n ≤ x
//
// Zalom et al. 1983 for the horizontal cutoff; Roltsch et al. 1999 for the
// others. Intermediate is floored where the rate would turn negative, at
// T > 2U−L.
func (m Method) day(n, x float64, t Thresholds) float64 {
	above, share := aboveSine, shareSine
	if m.Curve == Triangle {
		above, share = aboveTriangle, shareTriangle
	}
	l, u := float64(t.Lower), float64(t.Upper)
	whole := above(n, x, l)
	if !t.capped() {
		return whole
	}
	heat := whole - above(n, x, u)
	switch m.Cutoff {
	case Intermediate:
		heat += above(n, x, 2*u-l) - above(n, x, u)
	case Vertical:
		heat -= (u - l) * share(n, x, u)
	}
	return max(0, heat) // the terms may cancel to just below 0 in rounding
}

// outside returns the mean excess over t, K, of a day that t lies outside of,
// whatever the curve between n and x; ok is false where t lies within.
func outside(n, x, t float64) (heat float64, ok bool) {
	if x <= t {
		return 0, true
	}
	return (x+n)/2 - t, n >= t
}

// aboveTriangle returns the mean over the day of max(0, T−t) for a temperature
// that rises and falls in straight lines between n and x, K.
func aboveTriangle(n, x, t float64) float64 {
	if heat, ok := outside(n, x, t); ok {
		return heat
	}
	return (x - t) * (x - t) / (2 * (x - n))
}

// shareTriangle returns the share of the day, 0 to 1, with T > t.
func shareTriangle(n, x, t float64) float64 {
	if x <= t {
		return 0
	}
	if n >= t {
		return 1
	}
	return (x - t) / (x - n)
}

// aboveSine returns the mean over the day of max(0, T−t) for a sine between n
// and x, K.
//
//	A = (x+n)/2, W = (x−n)/2, θ = asin((t−A)/W)
//	[(A−t)(π/2−θ) + W cos θ] / π
//
// Baskerville and Emin 1969.
func aboveSine(n, x, t float64) float64 {
	if heat, ok := outside(n, x, t); ok {
		return heat
	}
	a, w := (x+n)/2, (x-n)/2
	s := onSine((t - a) / w)
	θ := math.Asin(s)
	return ((a-t)*(math.Pi/2-θ) + w*math.Sqrt((1-s)*(1+s))) / math.Pi
}

// shareSine returns the share of the day, 0 to 1, with T > t on a sine.
func shareSine(n, x, t float64) float64 {
	if x <= t {
		return 0
	}
	if n >= t {
		return 1
	}
	return (math.Pi/2 - math.Asin(onSine((2*t-x-n)/(x-n)))) / math.Pi
}

// onSine brings the sine of an angle back between -1 and 1, which rounding
// leaves where a threshold lies within a few ulp of an extreme; the arc sine
// would be NaN there.
func onSine(s float64) float64 {
	return max(-1, min(s, 1))
}

// plainAverage is method 1 of McMaster and Wilhelm 1997: the day's mean, cut
// at the upper threshold, less the lower one.
func plainAverage(d Extremes, t Thresholds) DegreeDays {
	mean := (d.Min + d.Max) / 2
	if t.capped() {
		mean = min(mean, t.Upper)
	}
	return DegreeDays(max(0, mean-t.Lower))
}

// modifiedAverage is method 2 of McMaster and Wilhelm 1997: each extreme is
// brought between the thresholds before the mean is taken.
func modifiedAverage(d Extremes, t Thresholds) DegreeDays {
	lo, hi := max(d.Min, t.Lower), max(d.Max, t.Lower)
	if t.capped() {
		lo, hi = min(lo, t.Upper), min(hi, t.Upper)
	}
	return DegreeDays((lo+hi)/2 - t.Lower)
}
