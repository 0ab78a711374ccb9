package phenology_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// The gate opens on the first day whose light, by the CBM values of section 2.6
// of PHENOLOGY.md (geosphere::daylength of R), has come: 12.146159 h on day 80 at
// 45° and 9.323507 h at midwinter at 40° south.
func TestBiofixOfLight(t *testing.T) {
	require.Equal(t, 80, phenology.Biofix{LightH: 12.146158}.In(45, 2021).DayOfYear())
	require.Equal(t, 81, phenology.Biofix{LightH: 12.146160}.In(45, 2021).DayOfYear())
	require.Equal(t, "2021-07-01", phenology.Biofix{LightH: 9.3}.In(-40, 2021).String(), "lit from the start of the year")
	require.Equal(t, "2022-01-01", phenology.Biofix{LightH: 20}.In(45, 2021).String(), "never: the next year")
	for _, lat := range []float64{60, 45, 20, -20, -45, -60} {
		start := phenology.YearStart(lat, 2021)
		d := phenology.Biofix{LightH: 12.2}.In(lat, 2021)
		require.GreaterOrEqual(t, phenology.Daylength(lat, d.DayOfYear(), phenology.TopOfDisc), 12.2)
		require.Less(t, phenology.Daylength(lat, (d-1).DayOfYear(), phenology.TopOfDisc), 12.2)
		require.InDelta(t, 82, float64(d-start), 10, "about the equinox")
	}
	never := phenology.Model{Biofix: phenology.Biofix{LightH: 20}, Onset: 1, BloomDays: 10}
	_, ok := never.Predict(never.Clock.Sums(tenths(400, 1)), 1985)
	require.False(t, ok)
}

// Light weighs each day by the formulas that families_test holds by hand.
func TestClockWithLight(t *testing.T) {
	s := tenths(365, 3)
	plain := phenology.Clock{Thresholds: uncapped(5)}
	long, short := plain, plain
	long.Light.Exponent = 2
	short.Light = phenology.Light{Longest: 15, Free: 13}
	sums := []phenology.Sums{plain.Sums(s), long.Sums(s), short.Sums(s)}
	for i := range s.Len() {
		d := s.Start + weather.Date(i)
		hours := phenology.Daylength(s.LatDeg, d.DayOfYear(), phenology.TopOfDisc)
		day := func(k int) float64 { return float64(sums[k].At(d+1) - sums[k].At(d)) }
		require.InDelta(t, phenology.Photothermal(day(0), hours, 2), day(1), 1e-9)
		require.InDelta(t, day(0)*phenology.ShortDay(hours, 15, 13), day(2), 1e-9)
	}
	require.Zero(t, sums[2].At(weather.YearMonthDay(1985, 7, 1))-sums[2].At(weather.YearMonthDay(1985, 6, 1)), "long days stop it")
	var c phenology.Counter
	for k, got := range c.Sums([]phenology.Clock{plain, long, short}, s) {
		require.InDelta(t, float64(sums[k].At(s.End())), float64(got.At(s.End())), 1e-9)
	}
}

func TestPredictAfterDays(t *testing.T) {
	s := tenths(800, 5)
	first := phenology.Model{Biofix: phenology.Biofix{Month: 3, Day: 1}, Onset: 150, BloomDays: 12}
	a, ok := first.Predict(first.Clock.Sums(s), 1985)
	require.True(t, ok)

	later := first
	later.AfterDays = 38 // black locust after Norway maple, Lipiński: PHENOLOGY.md, section 3.4
	b, ok := later.Predict(later.Clock.Sums(s), 1985)
	require.True(t, ok)
	require.Equal(t, a.Onset+38, b.Onset)
	require.Equal(t, a.End+38, b.End)

	fixed := phenology.Model{AfterDays: 264, BloomDays: 14, RelativeSD: 10.0 / 264}
	for y, want := range map[int]string{1985: "1985-09-22", 1986: "1986-09-22"} {
		c, ok := fixed.Predict(fixed.Clock.Sums(s), y)
		require.True(t, ok)
		require.Equal(t, want, c.Onset.String(), "the same date whatever the weather")
	}
	c, ok := fixed.Scaled(1+fixed.RelativeSD).Predict(fixed.Clock.Sums(s), 1985)
	require.True(t, ok)
	require.Equal(t, "1985-10-02", c.Onset.String(), "one standard deviation later")
	_, ok = fixed.Predict(fixed.Clock.Sums(tenths(200, 5)), 1985)
	require.False(t, ok, "the record ends before it")
	south := s
	south.LatDeg, south.Start = -north, weather.YearMonthDay(1985, 7, 1)
	c, ok = fixed.Predict(fixed.Clock.Sums(south), 1985)
	require.True(t, ok)
	require.Equal(t, "1986-03-22", c.Onset.String(), "half a year later south of the equator")
}

func TestParseLight(t *testing.T) {
	for s, want := range map[string]phenology.Light{
		"":                       {},
		"photothermal 2":         {Exponent: 2},
		"Photothermal 2.5":       {Exponent: 2.5},
		"short days 13 to 15 h":  {Free: 13, Longest: 15},
		" short days 12 to 14 h": {Free: 12, Longest: 14},
	} {
		got, err := phenology.ParseLight(s)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	for _, s := range []string{"photothermal", "photothermal -1", "photothermal NaN", "short days 15 to 13 h", "short days 0 to 13 h", "short days 13 to 25 h", "long days 13 to 15 h", "x"} {
		_, err := phenology.ParseLight(s)
		require.ErrorContains(t, err, `"photothermal 2"`, s)
	}
}

func FuzzParseLight(f *testing.F) {
	for _, s := range []string{"", "photothermal 2", "short days 13 to 15 h", "short days x to y h"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := phenology.ParseLight(s)
		if err != nil {
			require.Zero(t, l)
			return
		}
		again, err := phenology.ParseLight(l.String())
		require.NoError(t, err)
		require.Equal(t, l, again)
		require.False(t, math.IsNaN(l.Exponent+l.Longest+l.Free))
	})
}
