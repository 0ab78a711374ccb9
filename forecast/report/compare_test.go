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
	require.Empty(t, rows[2][1])
}
