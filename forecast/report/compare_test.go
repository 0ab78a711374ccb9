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
	"bloomtide/forecast/report"

	"github.com/stretchr/testify/require"
)

func two(t *testing.T) forecast.Comparison {
	t.Helper()
	a, b := invented(), invented()
	b.Apiary.Name, b.Apiary.Relative = "Elsewhere", true
	b.Flows = nil
	b.Measures.StoresKg = forecast.Spread{math.NaN(), math.NaN(), math.NaN()}
	c, err := forecast.Compare([]forecast.Forecast{a, b})
	require.NoError(t, err)
	return c
}

func TestCompareSetsPlacesSideBySide(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.Compare(&b, two(t), report.Options{}))
	text := b.String()
	require.Contains(t, text, "Nowhere")
	require.Contains(t, text, "Elsewhere")
	require.Contains(t, text, "At Elsewhere no main flow is expected")
	require.Regexp(t, `shape +short-sharp +–`, text)
	require.Regexp(t, `winter stores +0 kg +–`, text, "what is not known is no number")
	require.Contains(t, text, "at Elsewhere it is not known how much grows")
	require.Contains(t, text, "Take care")
	for _, line := range strings.Split(text, "\n") {
		require.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
}

func TestCompareForPrograms(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.CompareJSON(&b, two(t)))
	var d struct {
		Schema string           `json:"schema"`
		Places []map[string]any `json:"places"`
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	require.Equal(t, report.CompareSchema, d.Schema)
	require.Len(t, d.Places, 2)
	require.NotNil(t, d.Places[0]["main_flow"])
	require.Nil(t, d.Places[1]["main_flow"])
	require.Nil(t, d.Places[1]["stores_kg"])
	require.Nil(t, d.Places[1]["room_worst_ten_days_dm2"], "amounts of unknown cover are not told")

	b.Reset()
	require.NoError(t, report.CompareCSV(&b, two(t)))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	require.Equal(t, "2027-05-26", rows[1][1])
	require.Equal(t, "room_worst_ten_days_dm2", rows[0][len(rows[0])-1])
	require.Empty(t, rows[2][len(rows[2])-1], "amounts of unknown cover are not told")
	require.Empty(t, rows[2][1])
}

func TestEightPlacesStayLegible(t *testing.T) {
	var all []forecast.Forecast
	for range forecast.MostCompared {
		all = append(all, invented())
	}
	c, err := forecast.Compare(all)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, report.Compare(&b, c, report.Options{Chart: true}))
	for _, line := range strings.Split(b.String(), "\n") {
		require.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	require.Equal(t, 8, strings.Count(b.String(), "20 May – 9 Jun"), "no date is cut off")
}

func TestCompareRowsAreThoseOfTheTable(t *testing.T) {
	c := two(t)
	rows := report.CompareRows(c, report.Options{})
	var b bytes.Buffer
	require.NoError(t, report.Compare(&b, c, report.Options{}))
	require.Len(t, rows, 16)
	for _, r := range rows {
		require.Len(t, r.Cells, 2)
		require.Contains(t, b.String(), r.Name)
	}
}

// A set-up that is opened less often wins, but only where the queen keeps her
// nest.
func TestCompareSetUps(t *testing.T) {
	set := func(name string, bound, openings float64) forecast.Result {
		return forecast.Result{Place: "Nowhere", SetUp: forecast.SetUp{Name: name}, HoneyBoundShare: bound,
			Openings: forecast.Spread{openings, openings, openings}, Year: 2027, Members: 30}
	}
	for name, c := range map[string]struct {
		all  []forecast.Result
		want string
	}{
		"free and rare": {[]forecast.Result{set("lazy", 0.5, 2), set("busy", 0, 12), set("fair", 0.1, 7)}, `take "fair"`},
		"none is free":  {[]forecast.Result{set("lazy", 0.9, 2), set("better {}", 0.4, 9)}, `none of these keeps`},
	} {
		t.Run(name, func(t *testing.T) {
			compared, err := forecast.CompareSetUps(c.all)
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, report.CompareSetUps(&b, []forecast.SetUpComparison{compared}, report.Options{}))
			require.Contains(t, b.String(), c.want)
			require.NotContains(t, b.String(), `"better {}`, "braces of a name are no place for a number")
		})
	}
	_, err := forecast.CompareSetUps([]forecast.Result{set("alone", 0, 1)})
	require.ErrorContains(t, err, "give 2 to 8")
}
