package fill_test

import (
	"math"
	"testing"

	"bloomtide/ingest/fill"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// twin makes a record of n days and a neighbour that is warmer by a fixed
// amount, with a course that no regression on the season alone could give.
func twin(n int, warmer float64) (s, other weather.Series) {
	s = weather.Series{Start: 3650, Site: weather.Site{ID: "Invented Mill"}}
	other = weather.Series{Start: 3600, Site: weather.Site{ID: "Invented Bridge"}}
	state := uint32(7)
	course := make([]float64, n+100)
	for i := range course {
		state = state*1664525 + 1013904223 // Numerical Recipes' quick generator, from memory
		course[i] = 10 + 9*math.Sin(float64(i)/58) + float64(state>>16)/65536*8
	}
	day := func(t float64) weather.Day {
		return weather.Day{
			Min: weather.Celsius(t - 4), Max: weather.Celsius(t + 5), MinFlags: weather.Observed, MaxFlags: weather.Observed,
		}
	}
	for i := range n {
		s.Days = append(s.Days, day(course[i+50]))
	}
	for i := range course {
		other.Days = append(other.Days, day(course[i]+warmer))
	}
	return s, other
}

// A neighbour that differs by a fixed amount gives back every hidden day.
func TestNearFindsAFixedDifference(t *testing.T) {
	s, other := twin(1500, 3.5)
	for _, gap := range []int{1, 10, 100} {
		e := fill.ScoreNear(s, []weather.Series{other}, gap, fill.NearOptions{})
		require.Less(t, e.MinK, 0.05)
		require.Less(t, e.MaxK, 0.05)
		require.Greater(t, e.Values, 60)
	}
}

// Whatever is missing, observed values stay as they are, estimates are flagged
// and listed, and no day is turned upside down.
func TestNearChangesOnlyWhatIsMissing(t *testing.T) {
	whole, other := twin(900, -2)
	rapid.Check(t, func(t *rapid.T) {
		s := whole
		s.Days = append([]weather.Day(nil), whole.Days...)
		for range rapid.IntRange(0, 8).Draw(t, "gaps") {
			at := rapid.IntRange(0, len(s.Days)-1).Draw(t, "at")
			for i := at; i < min(len(s.Days), at+rapid.IntRange(1, 60).Draw(t, "long")); i++ {
				s.Days[i].MinFlags |= weather.Rejected
				if i%3 > 0 {
					s.Days[i].MaxFlags = 0
				}
			}
		}
		got, r := fill.Near(s, []weather.Series{other}, fill.NearOptions{})
		values := 0
		for i, d := range got.Days {
			was := s.Days[i]
			require.LessOrEqual(t, d.Min, d.Max)
			if was.MinFlags.Usable() {
				require.Equal(t, was.Min, d.Min)
			} else {
				require.Equal(t, weather.Estimated, d.MinFlags)
				values++
			}
			if was.MaxFlags.Usable() {
				require.Equal(t, was.Max, d.Max)
			} else {
				require.Equal(t, weather.Estimated, d.MaxFlags)
				values++
			}
		}
		require.Len(t, r.Estimates, values)
	})
}

func TestNearNeedsEnoughInCommon(t *testing.T) {
	s, other := twin(900, 1)
	s.Days[400] = weather.Day{}
	other.Days = other.Days[:300]
	got, r := fill.Near(s, []weather.Series{other}, fill.NearOptions{})
	require.Equal(t, s.Days, got.Days)
	require.Empty(t, r.Used)
	got, r = fill.Near(s, nil, fill.NearOptions{})
	require.Equal(t, s.Days, got.Days)
	require.Zero(t, r.Days)
	_, r = fill.Near(weather.Series{}, []weather.Series{other}, fill.NearOptions{})
	require.Zero(t, r.Days)
}

func BenchmarkNear(b *testing.B) {
	s, other := twin(10950, 1)
	for i := 100; i < len(s.Days); i += 40 {
		s.Days[i] = weather.Day{}
	}
	others := []weather.Series{other, other, other, other, other, other}
	b.ReportAllocs()
	for b.Loop() {
		_, r := fill.Near(s, others, fill.NearOptions{})
		require.NotZero(b, r.Days)
	}
}
