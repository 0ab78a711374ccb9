package hive_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// lime is a mild year with one flow from 10 June on.
func lime() (phenology.Season, []float64) {
	s := mild(48, 800, 12, 24)
	for i := range s.Min { // a winter, so that the colony has a year
		if d := i % 365; d < 75 || d > 300 {
			s.Min[i], s.Max[i] = -3, 5
		}
	}
	return s, flow.Supply(s, []flow.Growing{{
		Stand: flow.Stand{Hectares: 60, PeakKgPerHaDay: 6},
		Bloom: phenology.Bloom{Onset: s.Start + 160, Peak: s.Start + 170, End: s.Start + 185},
	}})
}

func course(t *testing.T, log hive.Log, boxes int) hive.Course {
	s, sugar := lime()
	c := hive.NewCourse(hive.Setup{BroodBoxes: boxes, Log: log}, s, sugar)
	require.Len(t, c.Flows, 1)
	return c
}

func days(y hive.Year, k hive.Kind) (out []weather.Date) {
	for _, e := range y.Events {
		if e.Kind == k {
			out = append(out, e.Day)
		}
	}
	return out
}

// A super that the log does not name was not put on: with all of them left off
// until the flow is over, the hive is fuller of honey below than one that was
// supered in time, and the work still stands in the plan.
func TestSkippedSupersFillTheNest(t *testing.T) {
	planned := course(t, hive.Log{}, 1)
	on := days(planned.Play(2025), hive.SuperOn)
	require.NotEmpty(t, on)
	flow := planned.Flows[0]
	seen := hive.Deed{Day: on[0] - 20, Kind: hive.SawBrood, Amount: 6}
	late := course(t, hive.Log{Deeds: []hive.Deed{seen}, Upto: flow.Peak}, 1)
	kept := hive.Log{Deeds: []hive.Deed{seen}, Upto: flow.Peak}
	for _, d := range on {
		kept.Deeds = append(kept.Deeds, hive.Deed{Day: min(d, flow.Peak-1), Kind: hive.PutSuper, Amount: 10})
	}
	timely := course(t, kept, 1)
	without, ok := late.On(flow.Peak - 1)
	require.True(t, ok)
	with, ok := timely.On(flow.Peak - 1)
	require.True(t, ok)
	require.Greater(t, without.Bound, with.Bound)
	require.Zero(t, without.SuperKg)
	require.Positive(t, with.SuperKg)
	require.NotEmpty(t, days(late.Play(2025), hive.SuperOn), "still to do")
	require.Empty(t, days(timely.Play(2025), hive.SuperOn), "done")
	require.GreaterOrEqual(t, late.Play(2025).BoundDays, timely.Play(2025).BoundDays)
}

// What is seen goes before what was reckoned.
func TestSeenStoresAndBees(t *testing.T) {
	at := weather.YearMonthDay(2025, 10, 3)
	for _, kg := range []float64{3.5, 9, 14} {
		c := course(t, hive.Log{Deeds: []hive.Deed{{Day: at, Kind: hive.SawStores, Amount: kg}}, Upto: at + 1}, 2)
		day, ok := c.On(at)
		require.True(t, ok)
		require.InDelta(t, kg, day.StoresKg, 0.4, "less a day's use")
	}
	// 2430 bees on a deep frame (Burgett and Burikam 1985, from memory).
	c := course(t, hive.Log{Deeds: []hive.Deed{{Day: at, Kind: hive.SawBees, Amount: 5}}, Upto: at + 1}, 2)
	day, _ := c.On(at)
	require.InEpsilon(t, 5*2430, day.Adults, 0.05)
	// A swarm takes half the bees.
	june := weather.YearMonthDay(2025, 6, 1)
	before, _ := course(t, hive.Log{}, 2).On(june)
	after, _ := course(t, hive.Log{Deeds: []hive.Deed{{Day: june, Kind: hive.SawSwarm}}, Upto: june + 1}, 2).On(june)
	require.InEpsilon(t, before.Adults/2, after.Adults, 0.1)
}

// A strong colony in one box asks for a second, one in two does not; each task
// of the hive's own says why and what to look for.
func TestSecondBroodBox(t *testing.T) {
	require.Len(t, days(course(t, hive.Log{}, 1).Play(2025), hive.SecondBroodBox), 1)
	require.Empty(t, days(course(t, hive.Log{}, 2).Play(2025), hive.SecondBroodBox))
	f := hive.Facts{Setup: hive.Setup{}.WithDefaults(), Shape: flow.Middling}
	for _, k := range hive.Kinds() {
		a := hive.Advise(k, 1, f)
		require.NotEmpty(t, a.Why.Text, k)
		require.NotEmpty(t, a.Check.Text, k)
		require.NotEmpty(t, a.Late.Text, k)
	}
	for _, k := range []hive.Kind{hive.Harvest, hive.SupersOff, hive.SwarmWatch, hive.SuperOn} {
		require.NotEmpty(t, hive.Advise(k, 1, f).Care.Values, "%s: the weight of the box", k)
	}
}
