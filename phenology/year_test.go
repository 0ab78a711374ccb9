package phenology_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// north and south are any latitudes of the two hemispheres, degrees.
const north, south = 47.0, -35.0

func TestBiofixIn(t *testing.T) {
	for _, c := range []struct {
		biofix string
		latDeg float64
		year   int
		want   string
	}{
		{"Jan 1", north, 2025, "2025-01-01"},
		{"Jan 1", south, 2025, "2025-07-01"},
		{"Jan 1", 0, 2025, "2025-01-01"},
		{"Mar 15", north, 2025, "2025-03-15"},
		{"Mar 15", south, 2025, "2025-09-15"},
		{"Jun 30", south, 2025, "2025-12-30"},
		{"Jul 1", south, 2025, "2026-01-01"},
		{"Oct 1", south, 2025, "2026-04-01"},
		{"Dec 31", south, 2025, "2026-06-30"}, // June has no 31st
		{"Feb 29", north, 2024, "2024-02-29"},
		{"Feb 29", north, 2025, "2025-02-28"}, // no leap day
		{"Aug 31", south, 2023, "2024-02-29"}, // the leap year is the next one
		{"Aug 31", south, 2024, "2025-02-28"},
		{"Mar 31", south, 2024, "2024-09-30"},
	} {
		t.Run(c.biofix+" "+c.want, func(t *testing.T) {
			b, err := phenology.ParseBiofix(c.biofix)
			require.NoError(t, err)
			require.Equal(t, c.want, b.In(c.latDeg, c.year).String())
		})
	}
	require.Equal(t, "2025-07-01", phenology.Biofix{}.In(south, 2025).String(), "the zero value is the year's start")
}

func TestYearOf(t *testing.T) {
	for _, c := range []struct {
		latDeg float64
		date   string
		want   int
	}{
		{north, "2024-12-31", 2024},
		{north, "2025-01-01", 2025},
		{south, "2024-12-31", 2024},
		{south, "2025-01-01", 2024},
		{south, "2025-06-30", 2024},
		{south, "2025-07-01", 2025},
		{south, "2024-02-29", 2023},
	} {
		t.Run(c.date, func(t *testing.T) {
			require.Equal(t, c.want, phenology.YearOf(c.latDeg, date(t, c.date)))
		})
	}
}

// Every day belongs to the plant year that starts last before it, and every
// biofix of a plant year lies within that year.
func TestPlantYearHoldsItsDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.SampledFrom([]float64{north, south, 0}).Draw(t, "latitude")
		d := weather.Date(rapid.Int32Range(-150000, 150000).Draw(t, "date"))
		y := phenology.YearOf(lat, d)
		require.LessOrEqual(t, phenology.YearStart(lat, y), d)
		require.Greater(t, phenology.YearStart(lat, y+1), d)
		b := phenology.Biofix{
			Month: time.Month(rapid.IntRange(1, 12).Draw(t, "month")),
			Day:   rapid.IntRange(1, 31).Draw(t, "day"),
		}
		require.Equal(t, y, phenology.YearOf(lat, b.In(lat, y)))
	})
}

func TestParseBiofix(t *testing.T) {
	for s, want := range map[string]phenology.Biofix{
		"Jan 1":   {Month: time.January, Day: 1},
		" Mar 15": {Month: time.March, Day: 15},
		"Feb 29":  {Month: time.February, Day: 29},
		"Dec 31":  {Month: time.December, Day: 31},

		"light 11.5 h": {LightH: 11.5},
	} {
		got, err := phenology.ParseBiofix(s)
		require.NoError(t, err, s)
		require.Equal(t, want, got, s)
	}
	for _, s := range []string{"", "Jan", "1", "Jan 0", "Jan 32", "Feb 30", "Apr 31", "1 Jan", "Mrz 1", "Jan 1 2025", "2025-01-01", "01-01", "light 11.5", "light 0 h", "light 24 h", "light x h", "light NaN h"} {
		_, err := phenology.ParseBiofix(s)
		require.Error(t, err, "%q", s)
		require.ErrorContains(t, err, `"`+s+`"`)
		require.ErrorContains(t, err, `"Mar 15"`, "the error shows what is understood")
	}
	require.Equal(t, "Jan 1", phenology.Biofix{}.String())
}

func FuzzParseBiofix(f *testing.F) {
	for _, s := range []string{"Jan 1", "Feb 29", "Mar 15", "Dec 31", "Feb 30", "jan 01", "", "é 1", "Jan 1\x00", "light 11.5 h", "light 99 h"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		b, err := phenology.ParseBiofix(s)
		if err != nil {
			require.Zero(t, b)
			return
		}
		again, err := phenology.ParseBiofix(b.String())
		require.NoError(t, err)
		require.Equal(t, b, again)
		if b.LightH > 0 {
			return
		}
		_, month, day := b.In(north, 2024).YMD() // a leap year has every day
		require.Equal(t, b, phenology.Biofix{Month: month, Day: day})
	})
}

func date(t testing.TB, s string) weather.Date {
	d, err := weather.ParseDate(s)
	require.NoError(t, err)
	return d
}
