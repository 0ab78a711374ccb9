package forecast_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

var april = day(2025, time.April, 10)

// Nothing on or after the issue date may be known, whatever is written there.
func TestRunLooksAtNothingLater(t *testing.T) {
	s := temperate.record(2013, 2025)
	rapid.Check(t, func(t *rapid.T) {
		issue := day(2025, time.January, 1) + weather.Date(rapid.IntRange(0, 364).Draw(t, "day of issue"))
		want, err := forecast.Run(apiary(), s, issue)
		require.NoError(t, err)
		warmer := weather.Celsius(rapid.Float64Range(-40, 40).Draw(t, "warmer"))
		flags := rapid.SampledFrom([]weather.Flags{weather.Estimated, weather.Observed, 0}).Draw(t, "flags")
		changed := s
		changed.Days = slices.Clone(s.Days)
		for i := int(issue - s.Start); i < len(changed.Days); i++ {
			d := &changed.Days[i]
			d.Min, d.Max, d.RainMm, d.MaxFlags = d.Min+warmer, d.Max+warmer, 30, flags
		}
		got, err := forecast.Run(apiary(), changed, issue)
		require.NoError(t, err)
		requireSame(t, want, got)
		got, err = forecast.Run(apiary(), s.Slice(s.Start, issue), issue)
		require.NoError(t, err)
		requireSame(t, want, got)
	})
}

// requireSame compares part by part, to keep the report of a failure short.
func requireSame(t require.TestingT, want, got forecast.Forecast) {
	require.Equal(t, want.Warnings, got.Warnings)
	require.Equal(t, want.Members, got.Members)
	require.Equal(t, want.Blooms, got.Blooms)
	require.Equal(t, want.Flows, got.Flows)
	require.Equal(t, want.Tasks, got.Tasks)
	require.True(t, reflect.DeepEqual(want, got), "some other part differs")
}

// What is observed counts: a bloom that is over by the issue date is the one
// that the observed weather alone gives, in every member.
func TestRunHonoursTheObservedPart(t *testing.T) {
	s := temperate.record(2013, 2025)
	a := apiary()
	for i := range a.Plants {
		a.Plants[i].RelativeSD = 0
	}
	season, err := phenology.NewSeason(s, day(2025, time.January, 1), day(2026, time.January, 1))
	require.NoError(t, err)
	rape := a.Plants[1]
	seen, ok := rape.Predict(rape.Clock.Sums(season), 2025)
	require.True(t, ok)
	f := run(t, a, s, seen.Onset+1)
	b := bloom(t, f, rape.Plant)
	require.Equal(t, forecast.Window{Early: seen.Onset, Likely: seen.Onset, Late: seen.Onset, Share: 1}, b.First)
	require.Equal(t, seen.Peak, b.Full.Likely)
}

func bloom(t testing.TB, f forecast.Forecast, plant string) forecast.BloomWindow {
	for _, b := range f.Blooms {
		if b.Plant == plant {
			return b
		}
	}
	require.Fail(t, "no bloom", plant)
	return forecast.BloomWindow{}
}

// The nearer the bloom, the less of the weather is left to chance.
func TestRunNarrowsWithTime(t *testing.T) {
	a := apiary()
	for i := range a.Plants {
		a.Plants[i].RelativeSD = 0
	}
	width := func(c climate, issue weather.Date) weather.Date {
		w := bloom(t, run(t, a, c.record(2013, 2025), issue), "white clover").First
		return w.Late - w.Early
	}
	for seed := range uint64(6) {
		c := temperate
		c.seed = seed
		early, late := width(c, day(2025, time.February, 1)), width(c, day(2025, time.May, 25))
		require.Less(t, late, early, "seed %d", seed)
	}
}

// The south's plan is the north's half a year later, to the day. Both records
// have one run of weather, 365 days a plant year from its own mid-winter; the
// leap day, which falls into other parts of the two plant years, repeats the day
// before it. No leap day lies in the years that are planned.
func TestRunMirrorsTheHemispheres(t *testing.T) {
	days := temperate.record(2012, 2025).Days
	mirrored := func(lat float64) weather.Series {
		s := weather.Series{Site: weather.Site{ID: "invented-valley", Point: [2]float64{8, lat}}, Start: phenology.YearStart(lat, 2012)}
		at := 0
		for d := s.Start; d < phenology.YearStart(lat, 2026); d++ {
			if _, m, n := d.YMD(); m == time.February && n == 29 {
				at--
			}
			s.Days = append(s.Days, days[at])
			at++
		}
		return s
	}
	a := apiary()
	n := run(t, a, mirrored(45), april)
	half := phenology.YearStart(-45, 2025) - phenology.YearStart(45, 2025)
	s := run(t, a, mirrored(-45), april+half)
	require.Len(t, s.Members, len(n.Members))
	later := func(w forecast.Window) forecast.Window {
		if w.Share > 0 {
			w.Early, w.Likely, w.Late = w.Early+half, w.Likely+half, w.Late+half
		}
		return w
	}
	for _, b := range n.Blooms {
		require.Equal(t, later(b.First), bloom(t, s, b.Plant).First, b.Plant)
	}
	require.Len(t, s.Flows, len(n.Flows))
	for i, f := range n.Flows {
		require.Equal(t, later(f.Start), s.Flows[i].Start)
		require.Equal(t, f.Kg, s.Flows[i].Kg)
	}
	require.Len(t, s.Tasks, len(n.Tasks))
	for i, task := range n.Tasks {
		require.Equal(t, task.Kind, s.Tasks[i].Kind)
		require.Equal(t, task.N, s.Tasks[i].N)
		require.Equal(t, later(task.Window), s.Tasks[i].Window, "%s %d", task.Kind, task.N)
	}
}

// The plan of a temperate place in spring is whole, in order, with a key of its
// own for every task, and the same when made again.
func TestRunTemperate(t *testing.T) {
	s := temperate.record(2013, 2025)
	before := slices.Clone(s.Days)
	a := apiary()
	f := run(t, a, s, april)
	require.Equal(t, before, s.Days, "input changed")
	require.Equal(t, apiary(), a, "input changed")
	requireSame(t, f, run(t, apiary(), s, april))
	require.Len(t, f.Members, 12)
	require.Equal(t, 2024, f.Members[0])
	main, ok := f.MainFlow()
	require.True(t, ok)
	require.Equal(t, 1.0, main.Start.Share)

	kinds := map[hive.Kind]bool{}
	type key struct {
		kind    hive.Kind
		n, year int
	}
	keys := map[key]bool{}
	for i, task := range f.Tasks {
		kinds[task.Kind] = true
		k := key{task.Kind, task.N, task.Year}
		require.False(t, keys[k], "%v twice", k)
		keys[k] = true
		requireWindow(t, task.Window)
		require.GreaterOrEqual(t, task.Window.Share, 0.1)
		require.NotEmpty(t, task.Why.Text)
		if i > 0 {
			require.LessOrEqual(t, f.Tasks[i-1].Window.Likely, task.Window.Likely, "in order")
		}
		require.LessOrEqual(t, task.Window.Likely, april+365)
	}
	require.GreaterOrEqual(t, len(kinds), 12)
	for i, b := range f.Blooms {
		requireWindow(t, b.First)
		require.LessOrEqual(t, b.First.Likely, b.Full.Likely)
		require.Less(t, b.Full.Likely, b.End.Likely)
		if i > 0 {
			require.LessOrEqual(t, f.Blooms[i-1].First.Likely, b.First.Likely, "in order")
		}
	}
	require.NotEmpty(t, f.Cautions)
}

func requireWindow(t require.TestingT, w forecast.Window) {
	require.LessOrEqual(t, w.Early, w.Likely)
	require.LessOrEqual(t, w.Likely, w.Late)
	require.GreaterOrEqual(t, w.Share, 0.0)
	require.LessOrEqual(t, w.Share, 1.0)
}

func TestRunOnALeapDay(t *testing.T) {
	s := temperate.record(2011, 2024)
	f := run(t, apiary(), s, day(2024, time.February, 29))
	require.Len(t, f.Members, 13)
	next := run(t, apiary(), s, day(2024, time.March, 1))
	for _, b := range f.Blooms {
		require.InDelta(t, float64(b.First.Likely), float64(bloom(t, next, b.Plant).First.Likely), 2, b.Plant)
	}
}

func TestRunWarnsOfAnOldRecord(t *testing.T) {
	f := run(t, apiary(), temperate.record(2000, 2011), april)
	require.NotEmpty(t, f.Members)
	require.NotContains(t, f.Members, 2012)
	require.Contains(t, warning(f, "the record ends on"), "2011-12-31")
	require.Contains(t, warning(f, "the record ends on"), "4848 days", "days between the dates, by the calendar")
	fresh := run(t, apiary(), temperate.record(2013, 2025), april)
	require.Empty(t, warning(fresh, "the record ends on"))
}

func warning(f forecast.Forecast, part string) string {
	for _, w := range f.Warnings {
		if strings.Contains(w, part) {
			return w
		}
	}
	return ""
}

func TestRunOnTooFewYears(t *testing.T) {
	for name, s := range map[string]weather.Series{
		"nothing":               {Site: weather.Site{ID: "invented-valley", Point: [2]float64{8, 45}}},
		"this year only":        temperate.record(2025, 2025),
		"one year and this":     temperate.record(2024, 2025),
		"one year, long ago":    temperate.record(2010, 2010),
		"years after the issue": temperate.record(2026, 2040),
	} {
		_, err := forecast.Run(apiary(), s, april)
		var few *forecast.FewYearsError
		require.ErrorAs(t, err, &few, name)
		require.Less(t, few.Members, 2, name)
		require.ErrorContains(t, err, "invented-valley", name)
		require.ErrorContains(t, err, "give a longer record", name)
	}
	f := run(t, apiary(), temperate.record(2023, 2025), april)
	require.Equal(t, []int{2024, 2023}, f.Members)
	require.NotEmpty(t, warning(f, "only 2 past years"))
}

func TestRunInTheTropics(t *testing.T) {
	for month := time.January; month <= time.December; month++ {
		f := run(t, apiary(), tropical.record(2013, 2025), day(2025, month, 15))
		kinds := map[hive.Kind]bool{}
		for _, task := range f.Tasks {
			kinds[task.Kind] = true
			require.NotContains(t, []hive.Kind{
				hive.WinterClosed, hive.MouseGuard, hive.LastSyrup, hive.LastFrames, hive.WinterHefting,
				hive.AutumnStoresCheck, hive.FeedSyrup, hive.SpringStoresCheck,
			}, task.Kind)
			require.NotContains(t, task.Why.Text, "before the cluster", "no bee clusters at 25 °C")
			requireWindow(t, task.Window)
		}
		require.NotEmpty(t, f.Flows)
		for _, k := range []hive.Kind{hive.BuildUp, hive.SwarmWatch, hive.SuperOn, hive.Harvest, hive.SupersOff} {
			require.True(t, kinds[k], "%s in %s", k, month)
		}
	}
}

// A place with two flows gets two, each with its harvest: rape in spring and
// lime in summer, with six weeks of nothing between them.
func TestRunWithTwoFlows(t *testing.T) {
	a := without(apiary(), "white clover")
	a.Stands[1].Hectares = 40
	for _, c := range []climate{temperate, {latDeg: -45, mean: 10, swing: 11, seed: 4}} {
		s := c.record(2012, 2025)
		issue := phenology.YearStart(c.latDeg, 2025) + 60
		if c.latDeg < 0 {
			s, issue = c.record(2012, 2025), phenology.YearStart(c.latDeg, 2024)+60
		}
		f := run(t, a, s, issue)
		year := phenology.YearOf(c.latDeg, issue)
		starts := map[string]weather.Date{}
		for _, w := range f.Flows {
			if w.Year == year {
				require.GreaterOrEqual(t, w.Start.Share, 0.8, w.Name)
				starts[w.Name] = w.Start.Likely
			}
		}
		require.Len(t, starts, 2, "%v", starts)
		harvests := 0
		for _, task := range f.Tasks {
			if task.Year == year && task.Kind == hive.Harvest && task.Window.Share >= 0.5 {
				harvests++
			}
		}
		require.Equal(t, 2, harvests)
	}
}

func TestRunInTheArctic(t *testing.T) {
	f := run(t, apiary(), arctic.record(2013, 2025), april)
	clover := bloom(t, f, "white clover")
	require.Zero(t, clover.First.Share)
	require.Zero(t, f.Blooms[len(f.Blooms)-1].First.Share, "those that do not bloom come last")
	require.NotEmpty(t, warning(f, "no nectar flow"))
	require.Empty(t, f.Flows)
	for _, b := range f.Blooms {
		if b.First.Share > 0 {
			require.Equal(t, 2025, b.First.Late.Year(), "%s makes up for the cold of one year in the next", b.Plant)
		}
	}
	for _, task := range f.Tasks {
		require.NotContains(t, []hive.Kind{hive.SuperOn, hive.Harvest, hive.ExcluderOn}, task.Kind)
	}
}
