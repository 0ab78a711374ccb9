package ingest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// meansFile is a year of invented daily means; from the day given on it has
// extremes 6 K apart, and no mean.
func meansFile(extremesFrom int) string {
	var b strings.Builder
	b.WriteString("date,tmin,tmax,tmean\n")
	start := weather.YearMonthDay(2021, 1, 1)
	for i := range 400 {
		d := start + weather.Date(i)
		if i < extremesFrom {
			fmt.Fprintf(&b, "%s,,,%d\n", d, i%9)
			continue
		}
		fmt.Fprintf(&b, "%s,%d,%d,\n", d, i%9-3, i%9+3)
	}
	return b.String()
}

func TestMeansStandInForExtremes(t *testing.T) {
	for _, c := range []struct {
		name         string
		extremesFrom int
		half         weather.Celsius
		flags        weather.Flags
		note         string
	}{
		{"means only", 400, 0, weather.Observed, "daily means only"},
		{"extremes later", 20, 3, weather.Estimated, "only a daily mean on 20 days"},
	} {
		t.Run(c.name, func(t *testing.T) {
			source := func() []Source {
				return []Source{{Name: "means.csv", Reader: strings.NewReader(meansFile(c.extremesFrom))}}
			}
			records, err := Collect(source(), Options{Means: true})
			require.NoError(t, err)
			day := records[0].Series.At(weather.YearMonthDay(2021, 1, 9))
			require.InDelta(t, 8-float64(c.half), float64(day.Min), 1e-9)
			require.InDelta(t, 8+float64(c.half), float64(day.Max), 1e-9)
			require.Equal(t, c.flags, day.MinFlags)
			require.Contains(t, strings.Join(records[0].Report.Notes, "\n"), c.note)
		})
	}
	_, err := Collect([]Source{{Name: "means.csv", Reader: strings.NewReader(meansFile(400))}}, Options{})
	var poor *PoorDataError
	require.ErrorAs(t, err, &poor, "means are not taken unless asked for")
}
