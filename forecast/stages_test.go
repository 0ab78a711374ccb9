package forecast

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// sineYears is invented weather: a sine over the year.
func sineYears(first, last int, meanC, swingK float64) weather.Series {
	s := weather.Series{Site: weather.Site{ID: "invented-hill", Point: [2]float64{8, 45}}, Start: weather.YearMonthDay(first, time.January, 1)}
	for d := s.Start; d < weather.YearMonthDay(last+1, time.January, 1); d++ {
		c := meanC - swingK*math.Cos(2*math.Pi*float64(d)/365.25) + 3*math.Sin(float64(d)/7)
		s.Days = append(s.Days, weather.Day{Min: weather.Celsius(c - 5), Max: weather.Celsius(c + 5), MinFlags: weather.Observed, MaxFlags: weather.Observed})
	}
	return s
}

// In every member first bloom comes no later than full bloom, and that before
// the end, whatever the row says, by whatever weather, seen or blended; and no
// member has fewer days of them for being dressed.
func TestStagesKeepTheirOrderInEveryMember(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := sineYears(2004, 2024, rapid.Float64Range(-5, 25).Draw(t, "mean"), rapid.Float64Range(0, 15).Draw(t, "swing"))
		issue := weather.YearMonthDay(2024, time.January, 1) + weather.Date(rapid.IntRange(0, 365).Draw(t, "issue"))
		o := Options{Issue: issue, Trend: rapid.Bool().Draw(t, "trend"), Like: rapid.Bool().Draw(t, "like")}
		if rapid.Bool().Draw(t, "outlook") {
			days := s.Slice(issue-20, issue)
			days.Start += weather.Date(rapid.IntRange(0, 20).Draw(t, "outlook starts"))
			o.Outlook = Outlook{Days: days}
		}
		e, err := NewEnsembleWith(s, o)
		require.NoError(t, err)
		onset := rapid.Float64Range(1, 3000).Draw(t, "onset")
		m := phenology.Model{
			Plant: "invented plant", Clock: phenology.Clock{Thresholds: phenology.Thresholds{Lower: 5}},
			Onset: phenology.DegreeDays(onset), BloomDays: rapid.Float64Range(1, 120).Draw(t, "days"),
			RelativeSD: rapid.Float64Range(0, 0.6).Draw(t, "sd"),
		}
		if rapid.Bool().Draw(t, "has full") {
			m.Peak = m.Onset + phenology.DegreeDays(rapid.Float64Range(0.1, 500).Draw(t, "full"))
		}
		if rapid.Bool().Draw(t, "has end") {
			m.End = max(m.Peak, m.Onset) + phenology.DegreeDays(rapid.Float64Range(0.1, 500).Draw(t, "end"))
		}
		table := predict([]phenology.Model{m}, e)
		var seen []SeenBloom
		for i := range rapid.IntRange(0, 12).Draw(t, "seen years") {
			day := weather.YearMonthDay(2024-i, time.January, 1) + weather.Date(rapid.IntRange(0, 364).Draw(t, fmt.Sprint("seen ", i)))
			seen = append(seen, SeenBloom{Plant: m.Plant, Day: day})
		}
		table.learn(m, 0, newRehearsal(s.Slice(s.Start, issue), e), seen)
		for i, years := range table.blooms[0] {
			for _, y := range years {
				if !y.ok {
					continue
				}
				require.LessOrEqual(t, y.bloom.Onset, y.bloom.Peak, "member %d", i)
				require.Less(t, y.bloom.Peak, y.bloom.End, "member %d", i)
			}
		}
		w := table.windows(m, 0, e)
		if w.First.Share == w.End.Share && w.First.Share > 0 {
			require.LessOrEqual(t, w.First.Likely, w.Full.Likely)
			require.Less(t, w.Full.Likely, w.End.Likely)
		}
	})
}

// BenchmarkPastSkill is what the line about past forecasts costs a plan: two
// plants on clocks of their own, 30 members for each of 31 years.
func BenchmarkPastSkill(b *testing.B) {
	s := sineYears(1990, 2024, 10, 11)
	issue := weather.YearMonthDay(2025, time.January, 1)
	e, err := NewEnsemble(s, issue)
	if err != nil {
		b.Fatal(err)
	}
	plants := []phenology.Model{
		{Plant: "one", Clock: phenology.Clock{Thresholds: phenology.Thresholds{Lower: 5}}, Onset: 500},
		{Plant: "two", Clock: phenology.Clock{Thresholds: phenology.Thresholds{Lower: 7}}, Onset: 700},
	}
	for b.Loop() {
		r := newRehearsal(s, e)
		for _, m := range plants {
			if k := r.skill(m, 0, nil); k.N != maxMembers+1 {
				b.Fatal(k)
			}
		}
	}
}
