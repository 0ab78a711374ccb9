package archive_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/archive"
	"bloomtide/ingest/weather"
)

// one is a record of one day with a value of everything.
func one(start weather.Date, max weather.Celsius, f weather.Flags) weather.Series {
	return weather.Series{Site: weather.Site{ID: "A"}, Start: start, Days: []weather.Day{{
		Min: max - 9, Max: max, RainMm: float64(max), WindMs: float64(max),
		MinFlags: f, MaxFlags: f, RainFlags: f, WindFlags: f,
	}}}
}

func TestMergeRule(t *testing.T) {
	const (
		seen     = weather.Observed
		guessed  = weather.Estimated
		rejected = weather.Observed | weather.Rejected
	)
	for _, c := range []struct {
		say         string
		old, latest weather.Flags
		want        weather.Celsius
	}{
		{"a correction stands", seen, seen, 2},
		{"what was not known comes in", 0, rejected, 2},
		{"nothing changes nothing", seen, 0, 1},
		{"an estimate gives way", guessed, seen, 2},
		{"an estimate takes no observation's place", seen, guessed, 1},
		{"a newer estimate stands", guessed, guessed, 2},
		{"a rejected value takes no good one's place", seen, rejected, 1},
		{"a good value takes a rejected one's place", rejected, seen, 2},
		{"an estimate takes a rejected one's place", rejected, guessed, 2},
	} {
		m := archive.Merge(one(0, 1, c.old), one(0, 2, c.latest))
		d := m.Days[0]
		require.Equal(t, []float64{float64(c.want), float64(c.want) - 9, float64(c.want), float64(c.want)},
			[]float64{float64(d.Max), float64(d.Min), d.RainMm, d.WindMs}, c.say)
	}
}

func TestMergeSpansBothAndKeepsTheSite(t *testing.T) {
	old, latest := invented("A", 30, 1), one(day0+40, 12, weather.Observed)
	latest.Site.Point = weather.Nowhere()
	m := archive.Merge(old, latest)
	require.Equal(t, day0, m.Start)
	require.Len(t, m.Days, 41)
	require.Equal(t, weather.Celsius(12), m.At(day0+40).Max)
	require.Equal(t, weather.Day{}, m.At(day0+35))
	require.Equal(t, old.Site.Name, m.Site.Name)
	require.Equal(t, old.Site.Point, m.Site.Point)
}

// Joining a record a second time changes nothing, and neither argument is
// changed by joining.
func TestMergeAgainChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		old := invented("A", rapid.IntRange(1, 60).Draw(t, "old"), rapid.Uint64().Draw(t, "seed"))
		latest := invented("A", rapid.IntRange(1, 60).Draw(t, "latest"), rapid.Uint64().Draw(t, "seed"))
		if rapid.Bool().Draw(t, "wind") {
			old, latest = windy(old, 1), windy(latest, 2)
		}
		latest.Start += weather.Date(rapid.IntRange(-80, 80).Draw(t, "shift"))
		kept := append([]weather.Day(nil), old.Days...)
		once := archive.Merge(old, latest)
		require.Equal(t, once, archive.Merge(once, latest))
		require.Equal(t, kept, old.Days)
		require.Equal(t, max(old.End(), latest.End()), once.End())
	})
}
