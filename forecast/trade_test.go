package forecast_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// places are climates in which bees are kept, in both hemispheres (invented).
func places() []climate {
	var out []climate
	for seed := range uint64(3) {
		out = append(out,
			climate{latDeg: 45, mean: 10, swing: 11, seed: seed},  // inland
			climate{latDeg: 51, mean: 9.5, swing: 7, seed: seed},  // oceanic
			climate{latDeg: 60, mean: 4.5, swing: 12, seed: seed}, // northern
			climate{latDeg: 38, mean: 16, swing: 9, seed: seed},   // warm
			climate{latDeg: 47, mean: 6, swing: 16, seed: seed},   // continental
			climate{latDeg: -38, mean: 14, swing: 6, seed: seed},  // southern
		)
	}
	return out
}

// limeOnly has one short flow; every other source is poor.
func limeOnly() forecast.Apiary { return without(apiary(), "oilseed rape", "white clover") }

type taskID struct {
	kind    hive.Kind
	n, year int
}

// What every keeper would ask of a plan, whatever the climate (common practice,
// no source).
func TestPlanFollowsTheTrade(t *testing.T) {
	for _, c := range places() {
		for _, a := range []forecast.Apiary{apiary(), limeOnly()} {
			for _, month := range []time.Month{time.February, time.May, time.September} {
				issue := day(2025, month, 1)
				t.Run(fmt.Sprintf("%+v/%d stands/%s", c, len(a.Stands), issue), func(t *testing.T) {
					requirePlan(t, run(t, a, c.record(2013, 2025), issue))
				})
			}
		}
	}
}

func requirePlan(t *testing.T, f forecast.Forecast) {
	at := map[taskID]forecast.Task{}
	for _, task := range f.Tasks {
		requireWindow(t, task.Window)
		at[taskID{task.Kind, task.N, task.Year}] = task
	}
	require.Len(t, at, len(f.Tasks), "two tasks with one key")
	for id, task := range at {
		if next, ok := at[taskID{id.kind, id.n + 1, id.year}]; ok {
			requireOrder(t, task, next)
		}
		before(t, at, id, hive.ExcluderOff, hive.WinterClosed)
		before(t, at, id, hive.SupersOff, hive.LastSyrup)
		before(t, at, id, hive.SupersOff, hive.WinterClosed)
		before(t, at, id, hive.Harvest, hive.SupersOff)
		before(t, at, id, hive.SuperOn, hive.Harvest)
		before(t, at, id, hive.ExcluderOn, hive.SuperOn)
		before(t, at, id, hive.AutumnStoresCheck, hive.LastSyrup)
		before(t, at, id, hive.LastSyrup, hive.WinterClosed)
	}
	for _, w := range f.Flows {
		require.LessOrEqual(t, w.Start.Likely, w.Peak.Likely)
		require.LessOrEqual(t, w.Peak.Likely, w.End.Likely)
		if w.Name != "main" {
			continue
		}
		if off, ok := at[taskID{hive.SupersOff, 1, w.Year}]; ok {
			require.Greater(t, off.Window.Likely, w.Peak.Likely, "supers off before the peak")
		}
		if on, ok := at[taskID{hive.SuperOn, 1, w.Year}]; ok {
			require.LessOrEqual(t, on.Window.Likely, w.Start.Likely-7)
		}
	}
}

// before checks tasks of one year that all members that have the second have.
func before(t *testing.T, at map[taskID]forecast.Task, id taskID, first, second hive.Kind) {
	if id.kind != first || id.n != 1 {
		return
	}
	if later, ok := at[taskID{second, 1, id.year}]; ok && at[id].Window.Share == later.Window.Share {
		requireOrder(t, at[id], later)
	}
}

func requireOrder(t *testing.T, a, b forecast.Task) {
	require.LessOrEqual(t, a.Window.Likely, b.Window.Likely, "%s %d before %s %d", a.Kind, a.N, b.Kind, b.N)
}

// A flow that is short-sharp in every year asks for all supers on one day.
func TestShortSharpFlowPutsAllSupersOnAtOnce(t *testing.T) {
	a := limeOnly()
	a.Stands[0].Hectares = 40
	f := run(t, a, temperate.record(2013, 2025), april)
	main, ok := f.MainFlow()
	require.True(t, ok)
	require.Equal(t, flow.ShortSharp, main.Shape)
	require.LessOrEqual(t, main.EffectiveDays[2], 12.0, "in nine years of ten")
	on := map[weather.Date]int{}
	supers := 0
	for _, task := range f.Tasks {
		if task.Kind == hive.SuperOn && task.Window.Share == 1 {
			on[task.Window.Likely]++
			supers++
		}
	}
	require.Greater(t, supers, 1)
	require.Len(t, on, 1, "on one day")
	require.Equal(t, supers, on[main.Start.Likely-7])
}

// A second look at the odds: a plan without known cover tells dates but depends
// on no amount, so doubling every stand changes nothing.
func TestRelativePlanDependsOnNoAmount(t *testing.T) {
	s := temperate.record(2013, 2025)
	a := apiary()
	a.Relative = true
	want := run(t, a, s, april)
	require.NotEmpty(t, warning(want, "not known"))
	for i := range a.Stands {
		a.Stands[i].Hectares *= 1024
	}
	got := run(t, a, s, april)
	require.Equal(t, len(want.Tasks), len(got.Tasks))
	for i := range want.Tasks {
		require.Equal(t, want.Tasks[i].Window, got.Tasks[i].Window)
	}
	for i := range want.Flows {
		require.True(t, got.Flows[i].Relative)
		require.Equal(t, want.Flows[i].Start, got.Flows[i].Start)
	}
}
