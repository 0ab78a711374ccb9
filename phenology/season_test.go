package phenology_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// steady is a series of equal days, enough of them for the tests below.
func steady(t testing.TB, start string, days int, day weather.Day) weather.Series {
	s := weather.Series{
		Site:  weather.Site{ID: "Invented Ridge", Point: [2]float64{8, north}},
		Start: date(t, start),
	}
	for range days {
		s.Days = append(s.Days, day)
	}
	return s
}

func TestNewSeasonKeepsTheRecord(t *testing.T) {
	s := steady(t, "2023-12-30", 64, observed(2, 12))
	s.Days[2].RainMm, s.Days[2].RainFlags = 4.5, weather.Observed
	s.Days[3].RainMm, s.Days[3].RainFlags = 900, weather.Observed|weather.Rejected
	s.Days[62].Min = -3 // 1 March 2024: 30 December + 62 days, with the leap day
	season, err := phenology.NewSeason(s, date(t, "2024-01-01"), date(t, "2024-03-02"))
	require.NoError(t, err)
	require.Equal(t, 31+29+1, season.Len())
	require.Equal(t, date(t, "2024-03-02"), season.End())
	require.Equal(t, north, season.LatDeg)
	require.Equal(t, 4.5, season.RainMm[0])
	require.True(t, math.IsNaN(season.RainMm[1]), "rejected rain is not known")
	require.True(t, math.IsNaN(season.RainMm[2]), "no rain in the record is not dry")
	require.Equal(t, phenology.Extremes{Min: 2, Max: 12, NextMin: -3}, season.Extremes(59), "29 February")
	require.Equal(t, phenology.Extremes{Min: -3, Max: 12, NextMin: -3}, season.Extremes(60), "the last day has no tomorrow")
	require.Equal(t, weather.Celsius(4.5), season.Mean(60))
}

func TestNewSeasonGaps(t *testing.T) {
	rejected := observed(2, 12)
	rejected.MaxFlags |= weather.Rejected
	half := observed(2, 12)
	half.MinFlags = 0
	estimated := observed(2, 12)
	estimated.MinFlags = weather.Estimated
	for _, c := range []struct {
		name     string
		change   map[int]weather.Day // by index from 1 January 2025
		from, to string
		want     *phenology.GapError // nil: no gap
		text     string
	}{
		{"whole", nil, "2025-01-01", "2025-02-01", nil, ""},
		{"estimated counts as known", map[int]weather.Day{4: estimated}, "2025-01-01", "2025-02-01", nil, ""},
		{"a gap outside the range", map[int]weather.Day{0: {}}, "2025-01-02", "2025-02-01", nil, ""},
		{
			"two gaps", map[int]weather.Day{9: {}, 10: rejected, 11: half, 20: observed(12, 2)},
			"2025-01-01", "2025-02-01",
			&phenology.GapError{From: date(t, "2025-01-10"), To: date(t, "2025-01-13"), Missing: 4, Wanted: 31},
			"Invented Ridge: no usable temperatures from 2025-01-10 to 2025-01-12 (4 of 31 days missing)",
		},
		{
			"not a number", map[int]weather.Day{5: observed(math.NaN(), 12)},
			"2025-01-01", "2025-01-11",
			&phenology.GapError{From: date(t, "2025-01-06"), To: date(t, "2025-01-07"), Missing: 1, Wanted: 10},
			"Invented Ridge: no usable temperatures from 2025-01-06 to 2025-01-06 (1 of 10 days missing)",
		},
		{
			"before and after the record", nil, "2024-12-30", "2025-02-05",
			&phenology.GapError{From: date(t, "2024-12-30"), To: date(t, "2025-01-01"), Missing: 6, Wanted: 37},
			"Invented Ridge: no usable temperatures from 2024-12-30 to 2024-12-31 (6 of 37 days missing)",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := steady(t, "2025-01-01", 31, observed(2, 12))
			for i, d := range c.change {
				s.Days[i] = d
			}
			season, err := phenology.NewSeason(s, date(t, c.from), date(t, c.to))
			if c.want == nil {
				require.NoError(t, err)
				return
			}
			c.want.Station = "Invented Ridge"
			var gap *phenology.GapError
			require.ErrorAs(t, err, &gap)
			require.Equal(t, c.want, gap)
			require.EqualError(t, err, c.text)
			require.Zero(t, season.Len(), "no half season escapes")
		})
	}
}

// A day of heat is not lost or counted twice over a leap day: 10 °C·d a day from
// 1 January reach 600 on the 60th day, which is 29 February only in leap years.
func TestSumsOverTheLeapDay(t *testing.T) {
	clock := phenology.Clock{Method: plain, Thresholds: phenology.Thresholds{Lower: 5}}
	for start, want := range map[string]string{
		"2023-01-01": "2023-03-01",
		"2024-01-01": "2024-02-29",
		"2000-01-01": "2000-02-29",
		"1900-01-01": "1900-03-01",
	} {
		s := steady(t, start, 90, observed(10, 20))
		season, err := phenology.NewSeason(s, s.Start, s.End())
		require.NoError(t, err)
		day, ok := clock.Sums(season).Reached(s.Start, 600)
		require.True(t, ok)
		require.Equal(t, want, day.String())
	}
}
