package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/ical"
	"bloomtide/forecast/report"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

var issue = weather.YearMonthDay(2027, 4, 14)

func window(from weather.Date, share float64) forecast.Window {
	return forecast.Window{Early: from, Likely: from + 6, Late: from + 20, Share: share}
}

// invented is a forecast made up for these tests.
func invented() forecast.Forecast {
	may := weather.YearMonthDay(2027, 5, 20)
	return forecast.Forecast{
		Apiary: forecast.Apiary{ID: "nowhere", Name: "Nowhere", Invented: true},
		Site:   weather.Site{ID: "X1", Point: orb.Point{-93, 47}, ElevM: math.NaN()},
		Issue:  issue, Observed: issue - 1, Members: []int{2026, 2025, 2020},
		Blooms: []forecast.BloomWindow{
			{Plant: "black locust", Taxon: "Robinia pseudoacacia", Year: 2027, First: window(may, 1), Full: window(may+5, 1), End: window(may+10, 1),
				Status: phenology.Published, Source: "a fit", Feeds: true},
			{Plant: "=aster", Taxon: "Symphyotrichum", Year: 2027, Status: phenology.UnverifiedPrior, Source: "no one"},
		},
		Flows: []forecast.FlowWindow{{Name: "main", Year: 2027, Start: window(may, 0.9), Peak: window(may+4, 0.9), End: window(may+12, 0.9),
			Kg: [3]float64{10, 20.25, 30}, KgPerDay: 1.5, EffectiveDays: [3]float64{8, 10, 12}, BestWeekShare: 0.7, Shape: flow.ShortSharp}},
		Tasks: []forecast.Task{
			{Kind: hive.SpringStoresCheck, N: 1, Year: 2027, Window: window(issue-30, 1)},
			{Kind: hive.SwarmWatch, N: 1, Year: 2027, Window: window(issue-3, 1), Until: issue + 40},
			{Kind: hive.CongestionCheck, N: 1, Year: 2027, Window: window(issue+2, 1), Why: hive.Reason{Text: "first look"}},
			{Kind: hive.CongestionCheck, N: 2, Year: 2027, Window: window(issue+9, 1), Why: hive.Reason{Text: "second look"}},
			{Kind: hive.SuperOn, N: 1, Year: 2027, Window: window(may-7, 1), Why: hive.Reason{
				Text: "a full one weighs {} at {}, on {}, feed {} within {}", Values: []hive.Value{
					{Number: 24, Unit: hive.Kg}, {Number: 13, Unit: hive.Celsius}, {Number: float64(may), Unit: hive.OnDate},
					{Number: 1.127, Unit: hive.Litres}, {Number: 7, Unit: hive.Days}}}},
		},
		Warnings: []string{"a doubt"},
		Cautions: hive.Cautions(hive.Box{FullKg: 24}),
	}
}

func planText(t *testing.T, f forecast.Forecast, o report.Options) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Plan(&b, f, o))
	return b.String()
}

func TestPlanSpeaksTheUsersUnits(t *testing.T) {
	metric := planText(t, invented(), report.Options{})
	require.Contains(t, metric, "weighs 24 kg at 13 °C, on 20 May")
	require.Contains(t, metric, "1.1 L within 7 days")
	us := planText(t, invented(), report.Options{Units: report.US})
	// 24 kg = 52.9 lb, 13 °C = 55.4 °F, 1.127 L = 1.19 US qt, by definition of the units.
	require.Contains(t, us, "weighs 53 lb at 55 °F, on May 20, feed 1.2 qt")
	for _, word := range []string{" kg", "°C", " L "} {
		require.NotContains(t, us, word)
	}
}

func TestPlanFitsTheScreenAndSaysWhatIsInvented(t *testing.T) {
	for _, width := range []int{0, 60, 80} {
		text := planText(t, invented(), report.Options{Width: width})
		require.Contains(t, text, "Nowhere (invented)")
		for _, line := range strings.Split(text, "\n") {
			require.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
			require.NotContains(t, line, "\x1b", "no terminal codes unless asked for")
		}
	}
	require.Contains(t, planText(t, invented(), report.Options{Bold: true}), "\x1b[1mPlan\x1b[0m")
}

func TestBloomThatNeverComesHasNoDate(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.Bloom(&b, invented(), report.Options{}))
	require.Contains(t, b.String(), "  =aster              not reached in any past year\n")
}

func TestNextSkipsWhatIsOver(t *testing.T) {
	text := planText(t, invented(), report.Options{})
	_, next, _ := strings.Cut(text, "Do next\n")
	next, _, _ = strings.Cut(next, "\n\n")
	require.Equal(t, 3, strings.Count(next, "\n")+1)
	require.NotContains(t, next, "Spring stores check")
	require.Contains(t, next, "Swarm watch begins [window open]")
	require.Contains(t, text, "Spring stores check [overdue]", "late work is still seen in the plan")
	require.Contains(t, text, "Check brood nest for congestion 1 to 2")
	require.NotContains(t, text, "second look", "checks are one line")
}

func TestRelativeFlowShowsNoKilograms(t *testing.T) {
	f := invented()
	require.Contains(t, planText(t, f, report.Options{}), "one hive gains 20 kg (10–30 kg)")
	f.Apiary.Relative = true
	f.Flows[0].Relative = true
	require.NotContains(t, planText(t, f, report.Options{}), "one hive gains")
	var b bytes.Buffer
	require.NoError(t, report.PlanJSON(&b, f))
	require.Contains(t, b.String(), `"kg_per_hive": null`)
}

func TestJSONHasTheDocumentedFields(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.PlanJSON(&b, invented()))
	var d map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	require.Equal(t, report.PlanSchema, d["schema"])
	require.Equal(t, "2027-04-14", d["issue_date"])
	place := d["place"].(map[string]any)
	require.Equal(t, "Nowhere", place["name"])
	require.Equal(t, true, place["invented"])
	require.Nil(t, place["elevation_m"], "what is not known is null")
	members := d["members"].(map[string]any)
	require.EqualValues(t, 3, members["count"])
	require.EqualValues(t, 2020, members["first_year"])
	require.EqualValues(t, 2026, members["last_year"])
	require.Len(t, d["blooms"], 1, "the plan shows what feeds the hive")
	task := d["tasks"].([]any)[4].(map[string]any)
	require.Equal(t, "super-on", task["kind"])
	require.EqualValues(t, 1, task["n"])
	require.Equal(t, []any{"2027-05-13", "2027-05-19", "2027-06-02"}, []any{task["early"], task["likely"], task["late"]})
	require.EqualValues(t, 1, task["share"])
	require.Contains(t, task["why"], "24 kg", "JSON is always metric")
	require.Equal(t, "2027-super-on-1.nowhere@bloomtide", task["uid"])
	require.Len(t, d["warnings"], 1)
	require.NotEmpty(t, d["cautions"])

	b.Reset()
	require.NoError(t, report.BloomJSON(&b, invented()))
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	require.Equal(t, report.BloomSchema, d["schema"])
	aster := d["blooms"].([]any)[1].(map[string]any)["first"].(map[string]any)
	require.Nil(t, aster["likely"], "a bloom that never comes has no date")
}

func TestCSVKeepsSpreadsheetsFromRunningCells(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.BloomCSV(&b, invented()))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+2*3)
	require.Equal(t, "'=aster", rows[4][0])
	require.Equal(t, "0.000", rows[4][7])
	require.Empty(t, rows[4][5])
}

func TestCalendarNamesEventsByMeaning(t *testing.T) {
	read := func(f forecast.Forecast, before ical.Published) (ical.Published, string) {
		var b bytes.Buffer
		require.NoError(t, report.PlanCalendar(&b, f, report.CalendarOptions{Previous: before}))
		text := b.String()
		p, err := ical.ReadPublished(&b)
		require.NoError(t, err)
		return p, text
	}
	f := invented()
	first, text := read(f, nil)
	require.Len(t, first, len(f.Tasks))
	require.Contains(t, text, "SUMMARY:Add super 1 (invented)")
	again, same := read(f, first)
	require.Equal(t, text, same, "an unchanged plan is an unchanged file")
	require.Equal(t, first, again)
	f.Tasks[4].Window.Likely += 3
	moved, _ := read(f, first)
	const uid = "2027-super-on-1.nowhere@bloomtide"
	require.Contains(t, moved, uid)
	require.Equal(t, first[uid].Day+3, moved[uid].Day)
	require.Greater(t, moved[uid].Sequence, first[uid].Sequence)
}

func TestSlugKeepsNamesApart(t *testing.T) {
	require.Equal(t, "small-leaved-linden", report.Slug("Small-leaved  linden!"))
	require.NotEqual(t, report.Slug("Bö"), report.Slug("Bo"))
}

func BenchmarkPlan(b *testing.B) {
	f := invented()
	for b.Loop() {
		var out bytes.Buffer
		if err := report.Plan(&out, f, report.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
