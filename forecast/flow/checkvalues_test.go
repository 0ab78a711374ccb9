package flow_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/honey"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Rows are those of ../shared/science/HIVE.md, section 12, worked out there
// outside this project; each check names its row and what the row rests on.

// short and long hold 30 kg each (HIVE.md, section 2.4).
var (
	short = []float64{1, 2, 4, 6, 7, 5, 3, 1, 1, 0}
	long  = slices.Repeat([]float64{1}, 30)
)

func triangle(days int) []float64 {
	b := phenology.Bloom{Onset: 0, Peak: weather.Date(days / 2), End: weather.Date(days)}
	var g []float64
	for d := range weather.Date(days + 1) {
		g = append(g, b.Open(d))
	}
	return g
}

func TestMeasuresCheckValues(t *testing.T) {
	for _, c := range []struct {
		name      string // row
		gain      []float64
		total     float64 // kg
		effective float64 // days
		eighty    int     // days
		bestWeek  float64 // 0 to 1
	}{
		{"row 18, short list", short, 30, 6.338, 5, 0.9333},
		{"row 19, thirty even days", long, 30, 30, 24, 0.2333},
		// Triangle of Baude, Kunin and Memmott 2015, doi
		// 10.5285/69402002-1676-4de9-a04e-d17e827db93c; measures of section 2.4.
		{"row 21, triangle of 28 days", triangle(28), 14, 20.947, 16, 0.4388},
		{"no gain", []float64{0, -1, 0}, 0, 0, 0, 0},
		{"nothing", nil, 0, 0, 0, 0},
		{"losses do not count", []float64{-3, 2, -1, 2, -5}, 4, 2, 2, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.InDelta(t, c.total, flow.Total(c.gain), 1e-9)
			require.InDelta(t, c.effective, flow.EffectiveDays(c.gain), 0.0005)
			require.Equal(t, c.eighty, flow.DaysHolding(c.gain, 0.8))
			require.InDelta(t, c.bestWeek, flow.BestWeekShare(c.gain), 0.00005)
		})
	}
}

// An even flow has its length in effective days and a triangle three quarters
// of it: for large D, (D/2)²/(D/3) (calculus).
func TestEffectiveDaysOfATriangle(t *testing.T) {
	require.InDelta(t, 0.75, flow.EffectiveDays(triangle(1000))/1000, 1e-5)
}

// scale is the running example of HIVE.md, section 2.2, kg a day.
var scale = []float64{-.05, -.06, -.05, -.10, -.20, .10, -.30, .40, .80, 1.50, 2.20, .90, -.40, .60, .30, -.10, -.20, -.30, -.20}

// Row 20: minimum −0.66 at index 6, maximum 5.64 at index 14, by the rule of
// the TrachtNet hive scales (read).
func TestTurningCheckValue(t *testing.T) {
	low, high, ok := flow.Turning(scale)
	require.True(t, ok)
	require.Equal(t, []int{6, 14}, []int{low, high})
	sum := func(last int) (kg float64) {
		for _, g := range scale[:last+1] {
			kg += g
		}
		return kg
	}
	require.InDelta(t, -0.66, sum(low), 1e-9)
	require.InDelta(t, 5.64, sum(high), 1e-9)
}

// The same series by the days around the threshold, worked by hand. Means of
// three days from index 6 on: 0.07, 0.30, 0.90, 1.50, 1.53, 0.90, 0.37, 0.17,
// 0.27, 0.00.
func TestDetectOnTheScaleSeries(t *testing.T) {
	start := weather.YearMonthDay(2025, 5, 1)
	flows := flow.Detect(scale, start)
	require.Len(t, flows, 1)
	f := flows[0]
	require.Equal(t, []weather.Date{start + 7, start + 10, start + 14}, []weather.Date{f.Start, f.Peak, f.End})
	require.Equal(t, 7, f.FlowDays, "index 13 lies below the threshold")
	require.InDelta(t, 0.4+0.8+1.5+2.2+0.9+0.6+0.3, f.Kg, 1e-9)
	require.InDelta(t, f.Kg/7, f.KgPerDay(), 1e-12)
	require.Equal(t, flow.ShortSharp, f.Shape)
}

// Row 22: a hectare of rape in cover, 28 days of bloom, in good weather: the
// peak gives 394.79 µg × 1509.15 flowers per m² (Baude, Kunin and Memmott 2015:
// contains data supplied by Natural Environment Research Council).
func TestSupplyOfAHectareOfRape(t *testing.T) {
	const kgPerHaDay = 394.79 * 1509.15 * 1e-5
	require.InDelta(t, 5.958, kgPerHaDay, 0.0005)
	s := fine(40, 20, 20)
	bloom := phenology.Bloom{Plant: "rape", Onset: s.Start + 5, Peak: s.Start + 19, End: s.Start + 33}
	kg := flow.Supply(s, []flow.Growing{{Stand: flow.Stand{Plant: "rape", Hectares: 1, PeakKgPerHaDay: kgPerHaDay}, Bloom: bloom}})
	require.Len(t, kg, 40)
	require.InDelta(t, 5.958, slices.Max(kg), 0.0005)
	require.InDelta(t, 5.958, kg[19], 0.0005)
	require.InDelta(t, 83.41, flow.Total(kg), 0.005)
	require.InDelta(t, 101.72, honey.FromSugar(flow.Total(kg)), 0.005)
	// The published span of closed stands: 40 to 200 kg sugar a hectare
	// (German guide to rape, HIVE.md, section 1.2).
	require.Greater(t, flow.Total(kg), 40.0)
	require.Less(t, flow.Total(kg), 200.0)
}

// Row 23: 1 µL of 40 % nectar has density 1.17902 and holds 471.6 µg of sugar
// (formula of Bolten et al. 1979 as printed with Baude et al. 2015).
func TestSugarOfAMicrolitre(t *testing.T) {
	require.InDelta(t, 1.17902, honey.SolutionKgPerL(40), 0.000005)
	require.InDelta(t, 471.6, 10*honey.SolutionKgPerL(40)*1*40, 0.05)
}

// Burrill and Dietz 1981, in the COLOSS BEEBOOK: flight rises from 12 to 20 °C
// and is almost none below; Lundie 1925: rain stops it.
func TestWeatherFactor(t *testing.T) {
	for _, c := range []struct {
		lo, hi weather.Celsius
		rain   float64
		want   float64
	}{
		{5, 11.9, 0, 0}, {20, 20, 0, 1}, {12, 12, 0, 0}, {16, 16, 0, 0.5},
		{20, 20, 10, 0}, {20, 20, 40, 0}, {20, 20, 5, 0.5},
		{30, 42, 0, 0}, {30, 50, 0, 0}, {25, 38.5, 0, 0.5},
	} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			require.InDelta(t, c.want, flow.WeatherFactor(c.lo, c.hi, c.rain), 1e-12)
		})
	}
}

// Section 2.4: Gini inside the flow; over a fixed season of 120 days 0.9522 and
// 0.7500, so it depends on the window.
func TestGiniCheckValues(t *testing.T) {
	pad := func(g []float64) []float64 { return append(slices.Clone(g), make([]float64, 120-len(g))...) }
	for _, c := range []struct {
		gain []float64
		want float64
	}{{short, 0.4267}, {long, 0}, {pad(short), 0.9522}, {pad(long), 0.75}, {nil, 0}, {[]float64{-1, -2}, 0}} {
		require.InDelta(t, c.want, flow.Gini(c.gain), 0.00005)
	}
}

// The gains of section 2.2 as a keeper would weigh them, with a box of 5 kg
// added on day 8 and 15 kg of honey taken on day 13: what the keeper did is
// taken out and the flow is found on the same days.
func TestWeighedTakesOutTheKeepersWork(t *testing.T) {
	start := weather.YearMonthDay(2025, 5, 1)
	kg, readings := 40.0, []flow.Reading{{Date: start - 1, Kg: 40}}
	for i, g := range scale {
		kg += g
		if i == 8 {
			kg += 5 // below MostGainKg with the day's own gain: the keeper marks it
		}
		if i == 13 {
			kg -= 15
		}
		readings = append(readings, flow.Reading{Date: start + weather.Date(i), Kg: kg, Handled: i == 8})
	}
	got := flow.DefaultRules().Weighed(readings)
	require.Equal(t, []weather.Date{start + 8, start + 13}, got.Jumps)
	require.Equal(t, start-1, got.Start)
	want := append([]float64{0}, scale...)
	want[9], want[14] = 0, 0
	require.InDeltaSlice(t, want, got.GainKg, 1e-9)
	flows := flow.Detect(got.GainKg, got.Start)
	require.Len(t, flows, 1)
	require.InDelta(t, float64(start+7), float64(flows[0].Start), 1, "as without the keeper, but for a day lost")
}

func TestWeighedBridgesShortHolesOnly(t *testing.T) {
	r := flow.DefaultRules()
	got := r.Weighed([]flow.Reading{{Date: 10, Kg: 30}, {Date: 13, Kg: 36}, {Date: 30, Kg: 40}, {Date: 31, Kg: 41}})
	require.Len(t, got.GainKg, 22)
	require.Equal(t, []float64{0, 2, 2, 2}, got.GainKg[:4])
	require.Zero(t, flow.Total(got.GainKg[4:21]), "a hole of 17 days")
	require.InDelta(t, 1, got.GainKg[21], 1e-12)
	require.Equal(t, 2, got.Bridged)
	require.Empty(t, r.Weighed(nil).GainKg)
}

// A keeper's own cut-offs go before ours; zero means the default.
func TestRulesAreSettings(t *testing.T) {
	own := flow.Rules{ShortSharpDays: 40, FlowKgPerDay: 2}.WithDefaults()
	require.Equal(t, flow.ShortSharp, own.ShapeOf(30))
	require.Equal(t, flow.SlowSteady, flow.ShapeOf(30))
	require.Empty(t, own.Detect(slices.Repeat([]float64{1}, 20), 0))
	require.InDelta(t, 3.0, own.EndRunDays-4, 1e-12)
	cool := flow.Rules{FlightC: 8}.WithDefaults()
	require.Positive(t, cool.WeatherFactor(6, 11, 0), "cool-adapted bees")
	require.Zero(t, flow.WeatherFactor(6, 11, 0))
}

func ExampleEffectiveDays() {
	sharp := []float64{1, 2, 4, 6, 7, 5, 3, 1, 1, 0} // kg a day, 30 kg in all
	even := slices.Repeat([]float64{1}, 30)
	fmt.Printf("%.1f days, %s\n", flow.EffectiveDays(sharp), flow.ShapeOf(flow.EffectiveDays(sharp)))
	fmt.Printf("%.1f days, %s\n", flow.EffectiveDays(even), flow.ShapeOf(flow.EffectiveDays(even)))
	// Output:
	// 6.3 days, short-sharp
	// 30.0 days, slow-steady
}
