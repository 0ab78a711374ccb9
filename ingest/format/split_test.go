package format

import (
	"encoding/csv"
	"strconv"
	"strings"
	"testing"
	"time"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// FuzzSplit holds split against encoding/csv on every line that the standard
// reader takes for one record.
func FuzzSplit(f *testing.F) {
	for _, s := range []string{`a,b`, `"a","b,c"`, `"a""b",`, ``, `,`, `" 12",",,S"`, `a"b,c`, `"a`, `"a"b,c`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		got := split(nil, []byte(line), ',')
		if strings.ContainsAny(line, "\r\n") || line == "" {
			return
		}
		want, err := csv.NewReader(strings.NewReader(line)).Read()
		if err != nil {
			return
		}
		require.Len(t, got, len(want))
		for i := range want {
			require.Equal(t, want[i], string(got[i]))
		}
	})
}

// FuzzNumber holds number against strconv.
func FuzzNumber(f *testing.F) {
	for _, s := range []string{"1.5", "-0.05", "+3", "1e3", "12345678901234567890", ".", "", "0x10", "1_0", "inf", "5.", ".5", "34560.000000000001"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, ok := number([]byte(s), '.')
		want, err := strconv.ParseFloat(s, 64)
		if strings.Trim(s, "0123456789.eE+-") != "" || len(s) > 40 {
			return
		}
		require.Equal(t, err == nil, ok, s)
		if ok {
			require.Equal(t, want, got)
		}
	})
}

// FuzzDate holds the dates against package time.
func FuzzDate(f *testing.F) {
	for _, s := range []string{"2020-02-29", "2025-02-30", "20200101", "1.2.2020", "2020/1/2", "1-Jan-2020", "202001010600", "2020-01-01T25:00", "1/2/2020"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := parseStamp([]byte(s), dayFirst)
		for _, form := range []string{"2006-01-02", "20060102", "2006/1/2"} {
			want, err := time.Parse(form, s)
			if err != nil || want.Year() < Oldest || want.Year() > Newest {
				continue
			}
			require.Empty(t, got.problem, s)
			require.Equal(t, weather.FromTime(want), got.date, s)
			return
		}
		if got.problem == "" {
			require.GreaterOrEqual(t, got.date.Year(), Oldest)
			require.LessOrEqual(t, got.date.Year(), Newest)
		}
	})
}

// TestCivil holds the arithmetic against package time over every day.
func TestCivil(t *testing.T) {
	for d := time.Date(Oldest, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() <= Newest; d = d.AddDate(0, 0, 1) {
		got, problem := civil(d.Year(), int(d.Month()), d.Day())
		if problem != "" || got != weather.FromTime(d) {
			require.Equal(t, weather.FromTime(d), got, problem)
		}
	}
	for _, bad := range [][3]int{{2025, 2, 29}, {2025, 2, 30}, {1900, 2, 29}, {2025, 4, 31}, {2025, 13, 1}, {2025, 0, 1}, {2025, 1, 0}, {1699, 1, 1}, {2101, 1, 1}} {
		_, problem := civil(bad[0], bad[1], bad[2])
		require.NotEmpty(t, problem, bad)
	}
}
