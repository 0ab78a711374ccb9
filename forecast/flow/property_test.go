package flow_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// fine is a run of equal days without rain, from 1 April 2025.
func fine(days int, lo, hi weather.Celsius) phenology.Season {
	return phenology.Season{
		LatDeg: 45, Start: weather.YearMonthDay(2025, 4, 1),
		Min:    slices.Repeat([]weather.Celsius{lo}, days),
		Max:    slices.Repeat([]weather.Celsius{hi}, days),
		RainMm: make([]float64, days),
	}
}

// drawGain is a run of daily gains, kg, to the gram that a hive scale shows,
// losses and dearths among them.
func drawGain(t *rapid.T, longest int) []float64 {
	grams := rapid.OneOf(rapid.IntRange(-1000, 1000), rapid.IntRange(200, 12000), rapid.SampledFrom([]int{0, 250}))
	day := rapid.Map(grams, func(g int) float64 { return float64(g) / 1000 })
	runs := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) []float64 {
		return slices.Repeat([]float64{day.Draw(t, "kg")}, rapid.IntRange(1, 12).Draw(t, "days"))
	}), 0, longest/6).Draw(t, "runs")
	return slices.Concat(runs...)
}

func TestDetectProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gain := drawGain(t, 120)
		start := weather.Date(rapid.IntRange(-1000, 30000).Draw(t, "start"))
		before := slices.Clone(gain)
		flows := flow.Detect(gain, start)
		require.Equal(t, before, gain, "input changed")
		smooth, free := flow.Smooth(gain), start
		for i, f := range flows {
			require.GreaterOrEqual(t, f.Start, free)
			require.LessOrEqual(t, f.Start, f.Peak)
			require.LessOrEqual(t, f.Peak, f.End)
			require.Less(t, f.End, start+weather.Date(len(gain)))
			for _, d := range []weather.Date{f.Start, f.Start + 1, f.Start + 2, f.End} {
				require.GreaterOrEqual(t, smooth[d-start], flow.FlowKgPerDay)
			}
			require.Equal(t, slices.Max(smooth[f.Start-start:f.End-start+1]), smooth[f.Peak-start])
			require.Positive(t, f.Kg)
			require.GreaterOrEqual(t, f.FlowDays, 3)
			require.LessOrEqual(t, f.FlowDays, int(f.End-f.Start)+1)
			if i > 0 {
				require.Greater(t, f.Start-flows[i-1].End, weather.Date(7), "seven days below part two flows")
			}
			free = f.End + 1
		}
		for _, d := range flow.Dearths(gain, start, flows) {
			require.GreaterOrEqual(t, d.To-d.From, weather.Date(10))
			require.Greater(t, d.From, flows[0].Start)
			require.LessOrEqual(t, d.To, flows[len(flows)-1].End)
			require.LessOrEqual(t, slices.Max(smooth[d.From-start:d.To-start]), 0.0)
		}
		if main, ok := flow.Main(flows); ok {
			for _, f := range flows {
				require.LessOrEqual(t, f.Kg, main.Kg)
			}
		} else {
			require.Empty(t, flows)
		}
	})
}

// Six days below the threshold are a gap, seven an end.
func TestDetectGaps(t *testing.T) {
	good := slices.Repeat([]float64{3}, 10)
	for _, c := range []struct{ below, flows int }{{0, 1}, {6, 1}, {7, 2}, {30, 2}} {
		// One lean day more on each side belongs to the smoothing: its mean of
		// three days holds a good one.
		lean := slices.Repeat([]float64{0}, c.below+2)
		require.Len(t, flow.Detect(slices.Concat(good, lean, good), 0), c.flows, "%d days below", c.below)
	}
	require.Empty(t, flow.Detect([]float64{9, 9}, 0), "two days open no flow")
	require.Len(t, flow.Detect([]float64{9, 9, 9}, 0), 1)
}

func TestDearths(t *testing.T) {
	good, lean := slices.Repeat([]float64{3}, 10), slices.Repeat([]float64{-0.4}, 20)
	gain := slices.Concat(lean, good, lean, good, lean)
	flows := flow.Detect(gain, 100)
	require.Len(t, flows, 2)
	// Smoothing lends the first and the last lean day a good neighbour.
	require.Equal(t, []flow.Dearth{{From: 131, To: 149}}, flow.Dearths(gain, 100, flows))
	require.Empty(t, flow.Dearths(lean, 100, nil))
}

func TestMeasuresProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gain := drawGain(t, 90)
		before := slices.Clone(gain)
		n, week, eighty := flow.EffectiveDays(gain), flow.BestWeekShare(gain), flow.DaysHolding(gain, 0.8)
		require.Equal(t, before, gain, "input changed")
		positive := 0
		for _, g := range gain {
			if g > 0 {
				positive++
			}
		}
		if positive == 0 {
			require.Zero(t, n)
			require.Zero(t, week)
			require.Zero(t, eighty)
			return
		}
		require.GreaterOrEqual(t, n, 1-1e-9)
		require.LessOrEqual(t, n, float64(positive)+1e-9)
		require.Positive(t, week)
		require.LessOrEqual(t, week, 1.0)
		require.GreaterOrEqual(t, eighty, 1)
		require.LessOrEqual(t, eighty, positive)
		require.LessOrEqual(t, flow.DaysHolding(gain, 0.5), eighty)

		a := rapid.Float64Range(0.01, 100).Draw(t, "scale")
		scaled := make([]float64, len(gain))
		for i, g := range gain {
			scaled[i] = a * g
		}
		require.InEpsilon(t, n, flow.EffectiveDays(scaled), 1e-9)
		require.InEpsilon(t, week, flow.BestWeekShare(scaled), 1e-9)
		require.InEpsilon(t, a*flow.Total(gain), flow.Total(scaled), 1e-9)

		shuffled := rapid.Permutation(gain).Draw(t, "order of days")
		require.InEpsilon(t, n, flow.EffectiveDays(shuffled), 1e-9, "the order of days does not matter")
		require.Equal(t, eighty, flow.DaysHolding(shuffled, 0.8))
	})
}

func TestSmoothKeepsTheBounds(t *testing.T) {
	require.Equal(t, []float64{1.5, 2, 3, 3.5}, flow.Smooth([]float64{1, 2, 3, 4}))
	rapid.Check(t, func(t *rapid.T) {
		gain := drawGain(t, 60)
		smooth := flow.Smooth(gain)
		require.Len(t, smooth, len(gain))
		for _, s := range smooth {
			require.GreaterOrEqual(t, s, slices.Min(gain)-1e-12)
			require.LessOrEqual(t, s, slices.Max(gain)+1e-12)
		}
	})
}

// The turning points: nothing lies lower before the highest point, nothing
// higher anywhere, and a run that only falls has none. Never a panic.
func TestTurningProperties(t *testing.T) {
	for _, gain := range [][]float64{nil, {-1}, {-1, -2, -3}, {0, 0}, {math.NaN(), 1}, {1, math.Inf(1), math.Inf(-1)}} {
		_, _, ok := flow.Turning(gain)
		require.False(t, ok, "%v", gain)
	}
	rapid.Check(t, func(t *rapid.T) {
		gain := drawGain(t, 60)
		low, high, ok := flow.Turning(gain)
		if !ok {
			return
		}
		require.Less(t, low, high)
		between := 0.0
		for i := low + 1; i <= high; i++ {
			between += gain[i]
			require.GreaterOrEqual(t, between, -1e-9, "the sum falls below the low point")
		}
		after := 0.0
		for _, g := range gain[high+1:] {
			after += g
			require.LessOrEqual(t, after, 1e-9, "the sum rises above the high point")
		}
	})
}

func TestWeatherFactorProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := weather.Celsius(rapid.Float64Range(-40, 45).Draw(t, "min"))
		hi := lo + weather.Celsius(rapid.Float64Range(0, 25).Draw(t, "range"))
		rain := rapid.Float64Range(0, 60).Draw(t, "rain")
		w := flow.WeatherFactor(lo, hi, rain)
		require.GreaterOrEqual(t, w, 0.0)
		require.LessOrEqual(t, w, 1.0)
		require.LessOrEqual(t, flow.WeatherFactor(lo, hi, rain+1), w, "more rain, no more nectar")
		require.Equal(t, flow.WeatherFactor(lo, hi, 0), flow.WeatherFactor(lo, hi, math.NaN()), "unknown rain counts as dry")
	})
}

// Supply is never negative, is linear in cover, adds over stands, leaves its
// inputs alone and gives nothing outside bloom.
func TestSupplyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := fine(60, weather.Celsius(rapid.Float64Range(-5, 20).Draw(t, "min")), 25)
		draw := func(name string) flow.Growing {
			onset := s.Start + weather.Date(rapid.IntRange(-40, 70).Draw(t, name+" onset"))
			peak := onset + weather.Date(rapid.IntRange(0, 20).Draw(t, name+" rise"))
			return flow.Growing{
				Stand: flow.Stand{Hectares: rapid.Float64Range(0, 50).Draw(t, name+" ha"), PeakKgPerHaDay: 4},
				Bloom: phenology.Bloom{Onset: onset, Peak: peak, End: peak + weather.Date(rapid.IntRange(1, 20).Draw(t, name+" fall"))},
			}
		}
		a, b := draw("a"), draw("b")
		both := flow.Supply(s, []flow.Growing{a, b})
		onlyA, onlyB := flow.Supply(s, []flow.Growing{a}), flow.Supply(s, []flow.Growing{b})
		double := a
		double.Stand.Hectares *= 2
		twice := flow.Supply(s, []flow.Growing{double})
		for i := range both {
			d := s.Start + weather.Date(i)
			require.GreaterOrEqual(t, both[i], 0.0)
			require.InDelta(t, onlyA[i]+onlyB[i], both[i], 1e-9)
			require.InDelta(t, 2*onlyA[i], twice[i], 1e-9)
			if d < a.Bloom.Onset || d > a.Bloom.End {
				require.Zero(t, onlyA[i])
			}
		}
	})
}

// BenchmarkDetect finds the flows of two years and a half.
func BenchmarkDetect(b *testing.B) {
	gain := slices.Repeat(scale, 48)
	for b.Loop() {
		flow.Detect(gain, 0)
	}
}
