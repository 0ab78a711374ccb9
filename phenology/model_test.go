package phenology_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// tenADay are sums of 10 °C·d on every day from 1 January to 30 June 2025: the
// nth day of the year ends with 10·n.
func tenADay(t testing.TB) phenology.Sums {
	s := steady(t, "2025-01-01", 181, observed(10, 20))
	season, err := phenology.NewSeason(s, s.Start, s.End())
	require.NoError(t, err)
	return phenology.Clock{Method: plain, Thresholds: phenology.Thresholds{Lower: 5}}.Sums(season)
}

func TestPredictStages(t *testing.T) {
	for _, c := range []struct {
		name             string
		m                phenology.Model
		onset, peak, end string // empty onset: not reached
	}{
		{"length only", phenology.Model{Onset: 600, BloomDays: 14}, "2025-03-01", "2025-03-08", "2025-03-15"},
		{"odd length", phenology.Model{Onset: 600, BloomDays: 15}, "2025-03-01", "2025-03-09", "2025-03-16"},
		{"need met exactly by the day's end", phenology.Model{Onset: 10, BloomDays: 2}, "2025-01-01", "2025-01-02", "2025-01-03"},
		{"need just missed", phenology.Model{Onset: 10.01, BloomDays: 2}, "2025-01-02", "2025-01-03", "2025-01-04"},
		{"full bloom by heat", phenology.Model{Onset: 600, Peak: 640, BloomDays: 14}, "2025-03-01", "2025-03-05", "2025-03-15"},
		{"full bloom after the length", phenology.Model{Onset: 600, Peak: 800, BloomDays: 14}, "2025-03-01", "2025-03-21", "2025-03-22"},
		{"all by heat", phenology.Model{Onset: 600, Peak: 640, End: 700}, "2025-03-01", "2025-03-05", "2025-03-11"},
		// The end by heat comes before half the length: full bloom moves up to it.
		{"end before half the length", phenology.Model{Onset: 600, End: 640, BloomDays: 20}, "2025-03-01", "2025-03-05", "2025-03-06"},
		{"biofix", phenology.Model{Onset: 600, BloomDays: 14, Biofix: phenology.Biofix{Month: 3, Day: 1}}, "2025-04-29", "2025-05-06", "2025-05-13"},
		{"season's last day", phenology.Model{Onset: 1810, BloomDays: 14}, "2025-06-30", "2025-07-07", "2025-07-14"},
		{"not reached", phenology.Model{Onset: 1810.01, BloomDays: 14}, "", "", ""},
		{"biofix after the season", phenology.Model{Onset: 1, Biofix: phenology.Biofix{Month: 7, Day: 1}}, "", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.m.Plant = "invented clover"
			b, ok := c.m.Predict(tenADay(t), 2025)
			require.Equal(t, c.onset != "", ok)
			if !ok {
				require.Zero(t, b, "no made-up date")
				return
			}
			require.Equal(t, "invented clover", b.Plant)
			require.Equal(t, []string{c.onset, c.peak, c.end}, []string{b.Onset.String(), b.Peak.String(), b.End.String()})
		})
	}
	_, ok := phenology.Model{Onset: 10}.Predict(tenADay(t), 2024)
	require.False(t, ok, "a biofix before the season: its heat is not known")
}

// First bloom comes first and the end comes last, whatever the figures and the
// weather; a place that needs more heat does not bloom earlier.
func TestPredictKeepsStagesInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeason(t)
		draw := func(name string) phenology.DegreeDays {
			return phenology.DegreeDays(rapid.Float64Range(0, 150).Draw(t, name))
		}
		m := phenology.Model{
			Clock: phenology.Clock{Method: drawMethod(t), Thresholds: drawThresholds(t)},
			Onset: draw("onset"), Peak: draw("peak"), End: draw("end"),
			BloomDays: rapid.Float64Range(0, 60).Draw(t, "bloom days"),
		}
		sums := m.Clock.Sums(s)
		b, ok := m.Predict(sums, s.Start.Year())
		if !ok {
			return
		}
		require.LessOrEqual(t, b.Onset, b.Peak)
		require.Less(t, b.Peak, b.End)
		later, ok := m.Scaled(rapid.Float64Range(1, 2).Draw(t, "factor")).Predict(sums, s.Start.Year())
		if ok {
			require.GreaterOrEqual(t, later.Onset, b.Onset)
		}
	})
}

func TestScaled(t *testing.T) {
	m := phenology.Model{Plant: "invented clover", Onset: 100, Peak: 200, End: 300, BloomDays: 20}
	got := m.Scaled(1.25)
	require.Equal(t, phenology.Model{Plant: "invented clover", Onset: 125, Peak: 250, End: 375, BloomDays: 20}, got)
	require.Equal(t, phenology.DegreeDays(100), m.Onset, "the model itself is left alone")
}

// The day-by-day values of a triangle 28 days long add up to 14, half its length
// (Baude, Kunin and Memmott 2015, doi 10.5285/69402002-1676-4de9-a04e-d17e827db93c,
// who multiply the flowers at the peak by half the days of bloom; HIVE.md in
// ../shared/science, section 12, row 21).
func TestOpenAddsUpToHalfTheBloom(t *testing.T) {
	start := date(t, "2024-02-20")
	for days, want := range map[weather.Date]float64{28: 14, 2: 1, 15: 7.5, 121: 60.5} {
		for _, peak := range []weather.Date{1, days / 2, days - 1} {
			b := phenology.Bloom{Onset: start, Peak: start + peak, End: start + days}
			sum := 0.0
			for d := start - 5; d < b.End+5; d++ {
				require.GreaterOrEqual(t, b.Open(d), 0.0)
				require.LessOrEqual(t, b.Open(d), 1.0)
				sum += b.Open(d)
			}
			require.InDelta(t, want, sum, 1e-12, "%d days, peak on day %d", days, peak)
			require.Equal(t, 1.0, b.Open(b.Peak))
			require.Zero(t, b.Open(b.Onset-1))
			require.Zero(t, b.Open(b.End))
		}
	}
	m := phenology.Model{Onset: 600, BloomDays: 28}
	b, ok := m.Predict(tenADay(t), 2025)
	require.True(t, ok)
	sum := 0.0
	for d := b.Onset; d <= b.End; d++ {
		sum += b.Open(d)
	}
	require.InDelta(t, 14, sum, 1e-12, "a predicted bloom keeps its length")
}

// A stand that goes from bud to full bloom in a day, as in a heat wave.
func TestOpenWithoutARise(t *testing.T) {
	d := date(t, "2025-05-01")
	b := phenology.Bloom{Onset: d, Peak: d, End: d + 4}
	var got []float64
	for day := d - 1; day <= d+5; day++ {
		got = append(got, b.Open(day))
	}
	require.Equal(t, []float64{0, 1, 0.75, 0.5, 0.25, 0, 0}, got)
}
