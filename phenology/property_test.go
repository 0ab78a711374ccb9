package phenology_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// The properties are those of ../shared/science/PHENOLOGY.md, section 1.6: they
// follow from what the methods mean, whatever their formulas.

// rounding is the slack for doubles in sums of some tens of degrees, K.
const rounding = 1e-9

func drawDay(t *rapid.T) phenology.Extremes {
	n := rapid.Float64Range(-30, 35).Draw(t, "min")
	x := n + rapid.Float64Range(0, 40).Draw(t, "range")
	return extremes([3]float64{n, x, rapid.Float64Range(-30, 35).Draw(t, "next min")})
}

func drawThresholds(t *rapid.T) phenology.Thresholds {
	l := rapid.Float64Range(-6, 15).Draw(t, "lower")
	return capAt(l, l+rapid.Float64Range(0.01, 40).Draw(t, "upper less lower"))
}

func drawMethod(t *rapid.T) phenology.Method {
	m := rapid.SampledFrom(curves).Draw(t, "curve")
	m.Cutoff = rapid.SampledFrom(cutoffs).Draw(t, "cutoff")
	return m
}

func heat(m phenology.Method, d phenology.Extremes, t phenology.Thresholds) float64 {
	return float64(m.Heat(d, t))
}

func TestHeatOrderOfCutoffs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(curves).Draw(t, "curve")
		d, limits := drawDay(t), drawThresholds(t)
		none := heat(m, d, uncapped(float64(limits.Lower)))
		var by [3]float64
		for i, c := range cutoffs {
			m.Cutoff = c
			by[i] = heat(m, d, limits)
		}
		horizontal, intermediate, vertical := by[0], by[1], by[2]
		require.GreaterOrEqual(t, vertical, 0.0)
		require.LessOrEqual(t, vertical, intermediate+rounding)
		require.LessOrEqual(t, intermediate, horizontal+rounding)
		require.LessOrEqual(t, horizontal, none+rounding)
		require.LessOrEqual(t, horizontal, float64(limits.Upper-limits.Lower)+rounding)
	})
}

func TestHeatNeverNegative(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, d, limits := drawMethod(t), drawDay(t), drawThresholds(t)
		require.GreaterOrEqual(t, heat(m, d, limits), 0.0)
	})
}

// A warmer minimum or maximum never gives less heat, except under the two
// cutoffs that punish hot days.
func TestHeatGrowsWithTemperature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(curves).Draw(t, "curve")
		d, limits := drawDay(t), drawThresholds(t)
		if rapid.Bool().Draw(t, "no upper threshold") {
			limits = uncapped(float64(limits.Lower))
		}
		before := heat(m, d, limits)
		warmer := d
		warmer.Max += weather.Celsius(rapid.Float64Range(0, 10).Draw(t, "max warmer by"))
		require.GreaterOrEqual(t, heat(m, warmer, limits), before-rounding)
		warmer = d
		warmer.Min += (d.Max - d.Min) * weather.Celsius(rapid.Float64Range(0, 1).Draw(t, "min warmer by"))
		require.GreaterOrEqual(t, heat(m, warmer, limits), before-rounding)
		warmer = d
		warmer.NextMin += weather.Celsius(rapid.Float64Range(0, 10).Draw(t, "next min warmer by"))
		require.GreaterOrEqual(t, heat(m, warmer, limits), before-rounding)
	})
}

// Degree days depend on differences of temperature alone: another zero leaves
// them, another size of the degree multiplies them. With a = 1.8 and b = 32 this
// is the change from °C to °F.
func TestHeatOnAnotherScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, d, limits := drawMethod(t), drawDay(t), drawThresholds(t)
		a := rapid.OneOf(rapid.Just(1.0), rapid.Just(1.8), rapid.Float64Range(0.1, 10)).Draw(t, "a")
		b := rapid.OneOf(rapid.Just(32.0), rapid.Float64Range(-100, 100)).Draw(t, "b")
		f := func(c weather.Celsius) weather.Celsius { return weather.Celsius(a*float64(c) + b) }
		scaled := phenology.Extremes{Min: f(d.Min), Max: f(d.Max), NextMin: f(d.NextMin)}
		to := phenology.Thresholds{Lower: f(limits.Lower), Upper: f(limits.Upper)}
		if m.Cutoff == phenology.Vertical && touches(d, limits.Upper) {
			t.Skip("a step at the extreme itself may fall either way in rounding")
		}
		require.InDelta(t, a*heat(m, d, limits), heat(m, scaled, to), 1e-6)
	})
}

// touches reports whether a threshold lies so near an extreme that rounding
// counts: there the vertical cutoff jumps, and the share of the day above it has
// infinite slope.
func touches(d phenology.Extremes, u weather.Celsius) bool {
	for _, x := range []weather.Celsius{d.Min, d.Max, d.NextMin} {
		if math.Abs(float64(x-u)) < 1e-5 {
			return true
		}
	}
	return false
}

// Found by TestHeatOnAnotherScale: a threshold a rounding step above the
// minimum put the argument of the arc sine below -1. The sweep holds some
// minima for which it did.
func TestHeatBesideAnExtreme(t *testing.T) {
	for i := range 20 {
		least := math.Ldexp(0.7*float64(i+1), -41)
		d := phenology.Extremes{Min: weather.Celsius(least), Max: 0.25, NextMin: 0.25}
		beside := weather.Celsius(math.Nextafter(least, 1))
		for _, limits := range []phenology.Thresholds{{Lower: beside, Upper: 0.25}, {Lower: -1, Upper: beside}} {
			for _, m := range curves {
				for _, m.Cutoff = range cutoffs {
					require.False(t, math.IsNaN(heat(m, d, limits)), "%+v %+v", m, d)
				}
			}
		}
	}
}

func TestHeatOfAnImpossibleDay(t *testing.T) {
	nan := weather.Celsius(math.NaN())
	rapid.Check(t, func(t *rapid.T) {
		m, d, limits := drawMethod(t), drawDay(t), drawThresholds(t)
		swapped := d
		swapped.Max = d.Min - weather.Celsius(rapid.Float64Range(0.001, 40).Draw(t, "below"))
		require.True(t, math.IsNaN(heat(m, swapped, limits)), "Max < Min")
		swapped = d
		swapped.Min = nan
		require.True(t, math.IsNaN(heat(m, swapped, limits)), "no Min")
		swapped = d
		swapped.Max = nan
		require.True(t, math.IsNaN(heat(m, swapped, limits)), "no Max")
	})
}

func TestSumsLeaveTheSeasonAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeason(t)
		lo, hi, rain := slices.Clone(s.Min), slices.Clone(s.Max), slices.Clone(s.RainMm)
		sums := phenology.Clock{Method: drawMethod(t), Thresholds: drawThresholds(t)}.Sums(s)
		phenology.Model{Onset: 20, Peak: 40, End: 60}.Predict(sums, s.Start.Year())
		require.Equal(t, lo, s.Min)
		require.Equal(t, hi, s.Max)
		require.Equal(t, rain, s.RainMm)
	})
}

// Sums add the days up, are the same however the season is cut, never fall, and
// stand still outside the season.
func TestSumsAddDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeason(t)
		clock := phenology.Clock{Method: drawMethod(t), Thresholds: drawThresholds(t)}
		sums := clock.Sums(s)
		for i := range s.Len() {
			d := s.Start + weather.Date(i)
			day := float64(sums.At(d+1) - sums.At(d))
			require.InDelta(t, heat(clock.Method, s.Extremes(i), clock.Thresholds), day, rounding)
			require.GreaterOrEqual(t, day, 0.0)
		}
		require.Zero(t, sums.At(s.Start))
		require.Zero(t, sums.At(s.Start-100))
		require.Equal(t, sums.At(s.End()), sums.At(s.End()+100))
	})
}

// Reached returns the first day that fills the need: the day before does not.
func TestReachedIsTheFirstDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeason(t)
		sums := phenology.Clock{Method: drawMethod(t), Thresholds: drawThresholds(t)}.Sums(s)
		biofix := s.Start + weather.Date(rapid.IntRange(0, s.Len()).Draw(t, "biofix"))
		need := phenology.DegreeDays(rapid.Float64Range(0.001, 300).Draw(t, "need"))
		day, ok := sums.Reached(biofix, need)
		if !ok {
			require.Less(t, float64(sums.At(s.End())-sums.At(biofix)), float64(need))
			return
		}
		require.GreaterOrEqual(t, day, biofix)
		require.Less(t, day, s.End())
		require.GreaterOrEqual(t, sums.At(day+1)-sums.At(biofix), need)
		require.Less(t, sums.At(day)-sums.At(biofix), need)
	})
}

func drawSeason(t *rapid.T) phenology.Season {
	n := rapid.IntRange(1, 40).Draw(t, "days")
	s := phenology.Season{LatDeg: 45, Start: weather.YearMonthDay(2001, 1, 1)}
	for range n {
		d := drawDay(t)
		s.Min, s.Max = append(s.Min, d.Min), append(s.Max, d.Max)
		s.RainMm = append(s.RainMm, math.NaN())
	}
	for i := range s.RainMm {
		s.RainMm[i] = float64(i)
	}
	return s
}
