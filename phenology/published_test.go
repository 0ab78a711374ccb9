package phenology_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

var (
	singleSine     = phenology.Method{Curve: phenology.Sine}
	doubleSine     = phenology.Method{Curve: phenology.Sine, Double: true}
	singleTriangle = phenology.Method{Curve: phenology.Triangle}
	doubleTriangle = phenology.Method{Curve: phenology.Triangle, Double: true}
	plain          = phenology.Method{Curve: phenology.Average}
	modified       = phenology.Method{Curve: phenology.ModifiedAverage}
)

// halfDigit is half a unit of the second decimal, the most by which a value
// may differ from one printed with two, plus the rounding of a double.
const halfDigit = 0.005 + 1e-9

// heatF counts one day given in °F and returns °F·d. It goes through the
// project's own conversions, so the published °F tables check those as well.
func heatF(m phenology.Method, day [3]float64, lower, upper float64) float64 {
	c := weather.FromFahrenheit
	d := phenology.Extremes{Min: c(day[0]), Max: c(day[1]), NextMin: c(day[2])}
	t := phenology.Thresholds{Lower: c(lower), Upper: c(upper)}
	return float64(m.Heat(d, t)) / phenology.PerFahrenheit
}

// zalomTable7 is table 7 of Zalom, Goodell, Wilson, Barnett and Bentley 1983,
// University of California Leaflet 21373: minimum, maximum and next minimum in
// °F, then °F·d above 55 °F with a horizontal cutoff at 90 °F by single and
// double triangle and single and double sine. Read in the file
// tests/testthat/zalom83_tbl7.RData of the R package degday (CRAN).
var zalomTable7 = []struct {
	day            [3]float64
	st, dt, ss, ds float64
}{
	{[3]float64{96, 110, 91}, 35, 35, 35, 35},
	{[3]float64{91, 105, 96}, 35, 35, 35, 35},
	{[3]float64{45, 54, 38}, 0, 0, 0, 0},
	{[3]float64{38, 50, 45}, 0, 0, 0, 0},
	{[3]float64{60, 80, 75}, 15.00, 18.75, 15.00, 18.75},
	{[3]float64{75, 88, 60}, 26.50, 22.75, 26.50, 22.75},
	{[3]float64{50, 82, 45}, 11.39, 10.62, 11.85, 11.31},
	{[3]float64{45, 70, 50}, 4.50, 5.06, 5.31, 5.70},
	{[3]float64{60, 100, 75}, 23.75, 24.88, 22.82, 26.26},
	{[3]float64{75, 95, 60}, 29.38, 25.76, 28.91, 25.30},
	{[3]float64{50, 101, 48}, 19.56, 19.19, 18.95, 18.69},
	{[3]float64{48, 95, 50}, 16.76, 17.13, 16.96, 17.23},
}

// misprint is the row of zalomTable7, from 0, whose double triangle is wrong.
const misprint = 8

func TestHeatZalom1983(t *testing.T) {
	agree := 0
	for i, row := range zalomTable7 {
		for _, c := range []struct {
			m    phenology.Method
			want float64
		}{{singleTriangle, row.st}, {doubleTriangle, row.dt}, {singleSine, row.ss}, {doubleSine, row.ds}} {
			if i == misprint && c.m == doubleTriangle {
				continue // TestHeatZalom1983Misprint holds the 48th value
			}
			require.InDelta(t, c.want, heatF(c.m, row.day, 55, 90), halfDigit, "row %d, %s", i+1, c.m)
			agree++
		}
	}
	require.Equal(t, 47, agree)
}

// The table prints 24.88 where the table's own single triangles give 27.125.
// The first half of the day is half of row 9's single triangle, 23.75/2. The
// second half, between 75 and 100 °F, lies above the lower threshold all
// through, so that its whole day has the mean less 55, 32.5, less the tip above
// 90 °F, 10²/(2·25) = 2, which makes 30.5. Half of both together is 27.125. The
// authors of the R package degday leave the value out of their tests as well.
func TestHeatZalom1983Misprint(t *testing.T) {
	day := zalomTable7[misprint].day
	secondHalf := [3]float64{day[2], day[1], day[2]}
	require.InDelta(t, 30.5, heatF(singleTriangle, secondHalf, 55, 90), 1e-9)
	require.InDelta(t, (23.75+30.5)/2, heatF(doubleTriangle, day, 55, 90), 1e-9)
	require.InDelta(t, 27.125, byQuadrature(doubleTriangle, extremes(day), capAt(55, 90)), 1e-9)
}

// McMaster and Wilhelm 1997, Agric. For. Meteorol. 87:291, table 1: °C, base
// 0 °C, methods 1 and 2. Read in the file mcmaster97_tbl1.RData of the R package
// degday (CRAN).
func TestHeatMcMasterWilhelm1997(t *testing.T) {
	for _, row := range []struct{ max, min, method1, method2 float64 }{
		{20, 10, 15, 15},
		{10, 1, 5.5, 5.5},
		{8, -2, 3, 4},
		{6, 0, 3, 3},
		{10, 5, 7.5, 7.5},
		{5, -5, 0, 2.5},
		{-2, -7, 0, 0},
		{-5, -10, 0, 0},
		{10, -2, 4, 5},
		{15, 2, 8.5, 8.5},
	} {
		t.Run(fmt.Sprintf("%g/%g", row.max, row.min), func(t *testing.T) {
			d := extremes([3]float64{row.min, row.max, row.min})
			require.Equal(t, phenology.DegreeDays(row.method1), plain.Heat(d, uncapped(0)))
			require.Equal(t, phenology.DegreeDays(row.method2), modified.Heat(d, uncapped(0)))
		})
	}
}

// Degree days that the University of California computed for its station
// Esparto.A in January 2020, above 55 °F with a horizontal cutoff at 93.9 °F.
// Read in the README of the R package degday (CRAN).
func TestHeatEsparto2020(t *testing.T) {
	for _, row := range []struct {
		day            [3]float64
		st, ss, dt, ds float64
	}{
		{[3]float64{38, 55, 36}, 0, 0, 0, 0},
		{[3]float64{36, 67, 33}, 2.32, 3.31, 2.22, 3.23},
		{[3]float64{33, 59, 37}, .31, .68, .34, .71},
		{[3]float64{37, 59, 38}, .36, .74, .37, .75},
		{[3]float64{38, 63, 36}, 1.28, 1.99, 1.23, 1.95},
		{[3]float64{36, 58, 30}, .20, .48, .18, .45},
	} {
		t.Run(fmt.Sprint(row.day), func(t *testing.T) {
			require.InDelta(t, row.st, heatF(singleTriangle, row.day, 55, 93.9), halfDigit)
			require.InDelta(t, row.ss, heatF(singleSine, row.day, 55, 93.9), halfDigit)
			require.InDelta(t, row.dt, heatF(doubleTriangle, row.day, 55, 93.9), halfDigit)
			require.InDelta(t, row.ds, heatF(doubleSine, row.day, 55, 93.9), halfDigit)
		})
	}
}

// Worked examples that advisers print for growers, each with where it was read.
func TestHeatWorkedExamples(t *testing.T) {
	none := math.Inf(1)
	for _, c := range []struct {
		name                    string
		method                  phenology.Method
		min, max, lower, upperF float64
		want                    float64 // °F·d
	}{
		// Ohio State University, bygl.osu.edu/node/1452: a maximum of 61 °F adds
		// 5.5, one of 67 °F adds 8.5; the minimum is any below the base.
		{"Ohio 61", modified, 41, 61, 50, none, 5.5},
		{"Ohio 67", modified, 33, 67, 50, none, 8.5},
		// Maine, archive.bdnblogs.com, 2006-04-15: 54 and 40 °F, minimum set to 50.
		{"Maine", modified, 40, 54, 50, none, 2},
		// University of California, ipm.ucanr.edu/PMG/FIG/cit-t01, citrus: a mean of
		// 64 °F above 53 °F.
		{"California citrus", plain, 54, 74, 53, none, 11},
		// Corn with 50 and 86 °F by the modified average; clamped and added by hand:
		// (86+64)/2−50 and (70+50)/2−50.
		{"corn, hot day", modified, 64, 92, 50, 86, 25},
		{"corn, cool night", modified, 44, 70, 50, 86, 10},
		// Hamilton Journal-News, 2021-03-06 (read on pressreader.com), prints
		// 55+26−50 = 31 for this day: it forgets to halve. The mean is below the base.
		{"newspaper, plain", plain, 26, 55, 50, none, 0},
		{"newspaper, modified", modified, 26, 55, 50, none, 2.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			day := [3]float64{c.min, c.max, c.min}
			require.InDelta(t, c.want, heatF(c.method, day, c.lower, c.upperF), 1e-9)
		})
	}
	// Manitoba, cropchatter.com, sunflower above 6.7 °C: 25 and 10 °C give 10.8 °C·d.
	got := plain.Heat(extremes([3]float64{10, 25, 10}), uncapped(6.7))
	require.InDelta(t, 10.8, float64(got), 1e-9)
}
