package phenology_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// This file counts degree days a second way, which shares nothing with the
// closed forms: it writes down the temperature of every moment of the day and
// the rate of development at that temperature, and integrates the rate over
// the day with the Gauss-Legendre rule of gonum.org/v1/gonum/integrate/quad.

func extremes(d [3]float64) phenology.Extremes {
	return phenology.Extremes{
		Min: weather.Celsius(d[0]), Max: weather.Celsius(d[1]), NextMin: weather.Celsius(d[2]),
	}
}

func uncapped(lower float64) phenology.Thresholds { return capAt(lower, math.Inf(1)) }

func capAt(lower, upper float64) phenology.Thresholds {
	return phenology.Thresholds{Lower: weather.Celsius(lower), Upper: weather.Celsius(upper)}
}

// rate is the development at temperature x, K: the definition of each cutoff
// (Roltsch et al. 1999, from memory), floored at 0.
func rate(x float64, t phenology.Thresholds, c phenology.Cutoff) float64 {
	l, u := float64(t.Lower), float64(t.Upper)
	switch {
	case x <= l:
		return 0
	case u <= l || x <= u: // without an upper threshold u is +Inf or at most l
		return x - l
	case c == phenology.Vertical:
		return 0
	case c == phenology.Intermediate:
		return max(0, (u-l)-(x-u))
	default:
		return u - l
	}
}

// temperature returns the temperature at moment s of the day, 0 to 1, which
// starts at the minimum and is warmest at 0.5.
func temperature(m phenology.Method, d phenology.Extremes, s float64) float64 {
	n, x := float64(d.Min), float64(d.Max)
	if m.Double && s > 0.5 {
		n = float64(d.NextMin)
	}
	if m.Curve == phenology.Triangle {
		return n + (x-n)*(1-math.Abs(2*s-1))
	}
	return (x+n)/2 - (x-n)/2*math.Cos(2*math.Pi*s)
}

// breaks returns the moments between which the rate is smooth: both ends of
// the day, noon, and where the temperature crosses a threshold, found by
// halving, since it only rises before noon and only falls after it.
func breaks(m phenology.Method, d phenology.Extremes, t phenology.Thresholds) []float64 {
	out := []float64{0, 0.5, 1}
	for _, level := range []float64{float64(t.Lower), float64(t.Upper), 2*float64(t.Upper) - float64(t.Lower)} {
		for _, half := range [][2]float64{{0, 0.5}, {1, 0.5}} {
			cold, warm := half[0], half[1]
			if edge := math.Nextafter(cold, warm); temperature(m, d, edge) >= level || float64(d.Max) <= level {
				continue
			}
			for range 60 {
				mid := (cold + warm) / 2
				if temperature(m, d, mid) < level {
					cold = mid
				} else {
					warm = mid
				}
			}
			out = append(out, warm)
		}
	}
	slices.Sort(out)
	return out
}

// byQuadrature returns the degree days of a day with a temperature curve.
func byQuadrature(m phenology.Method, d phenology.Extremes, t phenology.Thresholds) float64 {
	f := func(s float64) float64 { return rate(temperature(m, d, s), t, m.Cutoff) }
	sum := 0.0
	moments := breaks(m, d, t)
	for i := 1; i < len(moments); i++ {
		sum += quad.Fixed(f, moments[i-1], moments[i], 20, quad.Legendre{}, 0)
	}
	return sum
}

// byDefinition returns the degree days of a day by an average: method 1 of
// McMaster and Wilhelm 1997 is the rate at the mean temperature, method 2 the
// mean of the rates at the extremes, both with the rate held above the upper
// threshold.
func byDefinition(m phenology.Method, d phenology.Extremes, t phenology.Thresholds) float64 {
	n, x := float64(d.Min), float64(d.Max)
	if m.Curve == phenology.Average {
		return rate((n+x)/2, t, phenology.Horizontal)
	}
	return (rate(n, t, phenology.Horizontal) + rate(x, t, phenology.Horizontal)) / 2
}

var curves = []phenology.Method{singleSine, doubleSine, singleTriangle, doubleTriangle, plain, modified}

var cutoffs = []phenology.Cutoff{phenology.Horizontal, phenology.Intermediate, phenology.Vertical}

func TestHeatAgainstQuadrature(t *testing.T) {
	for _, m := range curves {
		reference := byQuadrature
		if m.Curve == phenology.Average || m.Curve == phenology.ModifiedAverage {
			reference = byDefinition
		}
		for _, cutoff := range cutoffs {
			m.Cutoff = cutoff
			t.Run(fmt.Sprintf("%s with cutoff", m), func(t *testing.T) { compare(t, m, reference, true) })
		}
		m.Cutoff = phenology.Horizontal
		t.Run(fmt.Sprintf("%s without cutoff", m), func(t *testing.T) { compare(t, m, reference, false) })
	}
}

type heatFunc func(phenology.Method, phenology.Extremes, phenology.Thresholds) float64

// compare checks Heat on random days against a reference to 1e-9 K·d. Each
// threshold must have been crossed on many of the days: else the check is empty.
func compare(t *testing.T, m phenology.Method, reference heatFunc, capped bool) {
	r := rand.New(rand.NewPCG(1983, uint64(m.Cutoff)))
	const days = 400
	crossedLower, crossedUpper := 0, 0
	for range days {
		d, limits := randomDay(r), uncapped(-5+20*r.Float64())
		if capped {
			limits.Upper = limits.Lower + weather.Celsius(1+25*r.Float64())
		}
		require.InDelta(t, reference(m, d, limits), float64(m.Heat(d, limits)), 1e-9, "%v %v", d, limits)
		if d.Min < limits.Lower && limits.Lower < d.Max {
			crossedLower++
		}
		if d.Min < limits.Upper && limits.Upper < d.Max {
			crossedUpper++
		}
	}
	require.Greater(t, crossedLower, days/10)
	if capped {
		require.Greater(t, crossedUpper, days/10)
	}
}

// randomDay draws a day from frost to desert heat; now and then both extremes
// are the same.
func randomDay(r *rand.Rand) phenology.Extremes {
	n := -15 + 40*r.Float64()
	x := n + 35*r.Float64()
	if r.IntN(20) == 0 {
		x = n
	}
	return extremes([3]float64{n, x, x - 35*r.Float64()})
}
