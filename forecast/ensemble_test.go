package forecast_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// A year that the record does not have is no member: a neighbour's weather in
// its name would count twice in the odds.
func TestEnsembleHasNoMadeUpYears(t *testing.T) {
	s := temperate.record(2010, 2025)
	for d := day(2016, time.January, 1); d < day(2017, time.January, 1); d++ {
		s.Days[d-s.Start] = weather.Day{}
	}
	e, err := forecast.NewEnsemble(s, april)
	require.NoError(t, err)
	require.Contains(t, e.Skipped, 2016)
	for i, a := range e.Members {
		require.NotEqual(t, 2016, a.Year)
		for _, b := range e.Members[:i] {
			rest := april - a.Season.Start
			require.NotEqual(t, a.Season.Max[rest:rest+200], b.Season.Max[rest:rest+200], "%d and %d have the same summer", a.Year, b.Year)
		}
	}
	// A short gap costs no year.
	s = temperate.record(2010, 2025)
	for d := day(2016, time.June, 1); d < day(2016, time.June, 11); d++ {
		s.Days[d-s.Start] = weather.Day{}
	}
	e, err = forecast.NewEnsemble(s, april)
	require.NoError(t, err)
	require.Len(t, e.Members, 15)
	require.Empty(t, e.Skipped)
}

// Each member is the observed days and then its own year, day by calendar day
// (PHENOLOGY.md in ../shared/science, section 5.1, step 3).
func TestEnsembleSplicesByCalendarDay(t *testing.T) {
	s := temperate.record(2013, 2025)
	e, err := forecast.NewEnsemble(s, april)
	require.NoError(t, err)
	require.Equal(t, int(april-day(2025, time.January, 1)), e.Elapsed)
	require.Equal(t, e.Elapsed, e.Observed)
	require.Equal(t, april-1, e.LastDay)
	for _, m := range e.Members {
		at := func(d weather.Date) weather.Celsius { return m.Season.Max[d-m.Season.Start] }
		require.Equal(t, s.At(april-1).Max, at(april-1))
		require.Equal(t, s.At(day(m.Year, time.April, 10)).Max, at(april))
		require.Equal(t, s.At(day(m.Year, time.December, 31)).Max, at(day(2025, time.December, 31)))
		require.Equal(t, s.At(day(m.Year+1, time.March, 5)).Max, at(day(2026, time.March, 5)))
	}
	long, err := forecast.NewEnsemble(temperate.record(1970, 2025), april)
	require.NoError(t, err)
	require.Len(t, long.Members, 30, "the years of a climate normal")
}
