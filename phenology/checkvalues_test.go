package phenology_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Degree days between 10 and 30 °C, °C·d to six decimals. They were integrated
// numerically outside this project by a Python script that splits the curve at
// its threshold crossings, and confirmed by a brute sum of 200,000 points and
// by R's integrate: ../shared/science/PHENOLOGY.md, section 1.6.
func TestHeatCheckValues(t *testing.T) {
	for _, c := range []struct {
		day                                [3]float64
		methods                            []phenology.Method
		horizontal, intermediate, vertical float64
	}{
		{[3]float64{32, 38, 32}, []phenology.Method{singleTriangle, singleSine}, 20, 15, 0},
		{[3]float64{32, 38, 31}, []phenology.Method{doubleTriangle, doubleSine}, 20, 15.25, 0},
		{[3]float64{2, 9, 2}, []phenology.Method{singleTriangle, singleSine, doubleTriangle, doubleSine}, 0, 0, 0},
		{[3]float64{12, 28, 12}, []phenology.Method{singleTriangle, singleSine}, 10, 10, 10},
		{[3]float64{12, 28, 16}, []phenology.Method{doubleTriangle, doubleSine}, 11, 11, 11},
		{[3]float64{4, 22, 4}, []phenology.Method{singleTriangle}, 4, 4, 4},
		{[3]float64{4, 22, 6}, []phenology.Method{doubleTriangle}, 4.25, 4.25, 4.25},
		{[3]float64{4, 22, 4}, []phenology.Method{singleSine}, 4.525469, 4.525469, 4.525469},
		{[3]float64{4, 22, 6}, []phenology.Method{doubleSine}, 4.698726, 4.698726, 4.698726},
		{[3]float64{15, 36, 15}, []phenology.Method{singleTriangle}, 14.642857, 13.785714, 8.928571},
		{[3]float64{15, 36, 18}, []phenology.Method{doubleTriangle}, 15.321429, 14.392857, 9.130952},
		{[3]float64{15, 36, 15}, []phenology.Method{singleSine}, 14.095824, 12.691648, 6.915483},
		{[3]float64{15, 36, 18}, []phenology.Method{doubleSine}, 14.785177, 13.320355, 7.276741},
		{[3]float64{5, 37, 5}, []phenology.Method{singleTriangle}, 10.625, 9.859375, 6.25},
		{[3]float64{5, 37, 8}, []phenology.Method{doubleTriangle}, 11.174569, 10.369343, 6.573276},
		{[3]float64{5, 37, 5}, []phenology.Method{singleSine}, 10.430350, 9.008063, 4.233557},
		{[3]float64{5, 37, 8}, []phenology.Method{doubleSine}, 10.828453, 9.368344, 4.460467},
		{[3]float64{-5, 49, -5}, []phenology.Method{singleSine}, 10.483617, 5.509158, 2.398649},
		{[3]float64{-5, 49, 0}, []phenology.Method{doubleSine}, 10.848476, 5.738278, 2.526707},
		{[3]float64{10, 20, 10}, []phenology.Method{singleTriangle, singleSine}, 5, 5, 5},
		{[3]float64{20, 30, 20}, []phenology.Method{singleTriangle, singleSine}, 15, 15, 15},
		{[3]float64{10, 10, 10}, []phenology.Method{singleTriangle, singleSine}, 0, 0, 0},
	} {
		for _, m := range c.methods {
			t.Run(fmt.Sprintf("%v %s", c.day, m), func(t *testing.T) {
				for i, want := range []float64{c.horizontal, c.intermediate, c.vertical} {
					m.Cutoff = cutoffs[i]
					got := m.Heat(extremes(c.day), capAt(10, 30))
					require.InDelta(t, want, float64(got), 0.5e-6+1e-12, m)
				}
			})
		}
	}
}

// Ways in which degree days are known to go wrong, with the right value:
// ../shared/science/PHENOLOGY.md, section 1.7, computed outside this project.
func TestHeatTraps(t *testing.T) {
	t.Run("a sum converts without an offset", func(t *testing.T) {
		// Black locust at Wooster, Ohio: 548 °F·d above 50 °F. Taking off 32 first
		// would give 286.667.
		require.InDelta(t, 304.444, 548*phenology.PerFahrenheit, 0.0005)
	})
	t.Run("a threshold converts with one", func(t *testing.T) {
		require.InDelta(t, 10, float64(weather.FromFahrenheit(50)), 1e-12)
	})
	t.Run("a day in Fahrenheit and in Celsius", func(t *testing.T) {
		require.InDelta(t, 3.257556, heatF(singleSine, [3]float64{36, 61, 36}, 50, math.Inf(1)), 0.5e-6)
		c := weather.FromFahrenheit
		got := singleSine.Heat(phenology.Extremes{Min: c(36), Max: c(61), NextMin: c(36)}, uncapped(10))
		require.InDelta(t, 1.809753, float64(got), 0.5e-6)
	})
	t.Run("the newspaper's day by sine", func(t *testing.T) {
		require.InDelta(t, 0.897248, heatF(singleSine, [3]float64{26, 55, 26}, 50, math.Inf(1)), 0.5e-6)
	})
	t.Run("the angle is in radians and of half the range", func(t *testing.T) {
		// An old public implementation gives 4.393044.
		got := singleSine.Heat(extremes([3]float64{4, 22, 4}), uncapped(10))
		require.InDelta(t, 4.525469, float64(got), 0.5e-6)
	})
	t.Run("a day above the upper threshold is not cold", func(t *testing.T) {
		got := singleSine.Heat(extremes([3]float64{32, 38, 32}), capAt(10, 30))
		require.InDelta(t, 20, float64(got), 1e-12)
	})
	t.Run("an upper threshold at or below the lower one is none", func(t *testing.T) {
		for _, upper := range []float64{10, 0, -300, math.Inf(1), math.Inf(-1)} {
			for _, m := range curves {
				got := m.Heat(extremes([3]float64{20, 40, 20}), capAt(10, upper))
				require.InDelta(t, 20, float64(got), 1e-12, "%s, upper %g", m, upper)
			}
		}
	})
	t.Run("unknown tomorrow", func(t *testing.T) {
		got := doubleSine.Heat(extremes([3]float64{4, 22, 4}), capAt(10, 30))
		require.InDelta(t, 4.525469, float64(got), 0.5e-6)
	})
}
