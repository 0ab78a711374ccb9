package weather_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
)

func date(t testing.TB, s string) weather.Date {
	d, err := weather.ParseDate(s)
	require.NoError(t, err)
	return d
}

// Every day of 400 years before and after 1970 against the calendar of Go's
// package time: 400 years are one whole round of the Gregorian leap rule.
func TestDateAgainstPackageTime(t *testing.T) {
	const round = 146097 // days in 400 Gregorian years
	want := time.Date(1570, 1, 1, 0, 0, 0, 0, time.UTC)
	for d := weather.Date(-round); d <= round; d++ {
		y, m, day := d.YMD()
		wantY, wantM, wantDay := want.Date()
		if y != wantY || m != wantM || day != wantDay || d.Year() != wantY || d.DayOfYear() != want.YearDay() {
			t.Fatalf("day %d is %d-%d-%d, package time has %s", d, y, m, day, want.Format(time.DateOnly))
		}
		got, err := weather.MakeDate(y, m, day)
		if err != nil || got != d || !d.Time().Equal(want) || d.String() != want.Format(time.DateOnly) {
			t.Fatalf("day %d does not come back: %d, %s, %v", d, got, d, err)
		}
		want = want.AddDate(0, 0, 1)
	}
	require.Equal(t, "2370-01-02", want.Format(time.DateOnly), "the loop went through all of it")
}

// Day numbers that the Unix epoch fixes, from the date command of GNU
// coreutils: date -u -d DATE +%s, divided by 86400.
func TestDateNumbers(t *testing.T) {
	for s, want := range map[string]weather.Date{
		"1970-01-01": 0, "1969-12-31": -1, "2000-02-29": 11016, "2000-03-01": 11017,
		"1900-03-01": -25508, "2026-07-01": 20635, "1858-11-17": -40587,
	} {
		require.Equal(t, want, date(t, s), s)
	}
}

func TestMakeDateRefuses(t *testing.T) {
	for _, c := range []struct {
		y   int
		m   time.Month
		d   int
		say string
	}{
		{2025, 2, 30, "2025-02-30"},
		{2025, 2, 29, "2025-02-29"},
		{1900, 2, 29, "1900-02-29"},
		{2025, 4, 31, "2025-04-31"},
		{2025, 1, 0, "2025-01-00"},
		{2025, 0, 1, "2025-00-01"},
		{2025, 13, 1, "2025-13-01"},
		{2025, 1, -1, "2025-01--1"},
	} {
		_, err := weather.MakeDate(c.y, c.m, c.d)
		require.ErrorContains(t, err, c.say)
	}
	_, err := weather.MakeDate(2000, 2, 29)
	require.NoError(t, err, "2000 is a leap year, 1900 is not")
}

func TestYearMonthDayBringsToTheCalendar(t *testing.T) {
	for _, c := range []struct {
		y    int
		m    time.Month
		d    int
		want string
	}{
		{2025, 4, 31, "2025-04-30"},
		{2025, 2, 99, "2025-02-28"},
		{2024, 2, 30, "2024-02-29"},
		{2025, 6, 0, "2025-06-01"},
		{2025, 0, 5, "2025-01-05"},
		{2025, 14, 5, "2025-12-05"},
	} {
		require.Equal(t, c.want, weather.YearMonthDay(c.y, c.m, c.d).String())
	}
}

func TestAddYears(t *testing.T) {
	for _, c := range []struct {
		from string
		n    int
		want string
	}{
		{"2024-02-29", 1, "2025-02-28"},
		{"2024-02-29", 4, "2028-02-29"},
		{"2024-02-29", -1, "2023-02-28"},
		{"2000-02-29", 100, "2100-02-28"},
		{"2000-02-29", 400, "2400-02-29"},
		{"2023-02-28", 1, "2024-02-28"},
		{"2023-03-01", 1, "2024-03-01"},
		{"2024-12-31", 1, "2025-12-31"},
		{"2024-02-29", 0, "2024-02-29"},
	} {
		require.Equal(t, c.want, date(t, c.from).AddYears(c.n).String(), "%s and %d years", c.from, c.n)
	}
}

// Years later is the same month and day, or the last of February.
func TestAddYearsKeepsTheDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := weather.Date(rapid.Int32Range(-146097, 146097).Draw(t, "date"))
		n := rapid.IntRange(-300, 300).Draw(t, "years")
		y, m, day := d.YMD()
		y2, m2, day2 := d.AddYears(n).YMD()
		require.Equal(t, y+n, y2)
		require.Equal(t, m, m2)
		if m == time.February && day == 29 {
			require.Equal(t, weather.DaysIn(y2, m), day2)
			return
		}
		require.Equal(t, day, day2)
	})
}

// A civil day is the one that a clock on the wall shows, wherever it hangs.
func TestFromTime(t *testing.T) {
	east, west := time.FixedZone("east", 14*3600), time.FixedZone("west", -12*3600)
	at := time.Date(2025, 3, 1, 11, 30, 0, 0, time.UTC)
	require.Equal(t, "2025-03-02", weather.FromTime(at.In(east)).String())
	require.Equal(t, "2025-03-01", weather.FromTime(at).String())
	require.Equal(t, "2025-02-28", weather.FromTime(at.In(west)).String())
}

func TestParseDateRefuses(t *testing.T) {
	for _, s := range []string{
		"", "2025", "2025-1-1", "20250101", "2025/01/01", "2025-01-01 ", " 2025-01-01", "2025-01-01T00:00",
		"+025-01-01", "-025-01-01", "2025-01-0x", "2025-01-٠", "2025-02-30", "2025-00-10", "01-02-2025",
	} {
		_, err := weather.ParseDate(s)
		require.Error(t, err, "%q", s)
	}
}

func TestDateInJSON(t *testing.T) {
	type place struct {
		Issue weather.Date `json:"issue_date"`
	}
	b, err := json.Marshal(place{date(t, "2026-04-13")})
	require.NoError(t, err)
	require.Equal(t, `{"issue_date":"2026-04-13"}`, string(b))
	var back place
	require.NoError(t, json.Unmarshal(b, &back))
	require.Equal(t, date(t, "2026-04-13"), back.Issue)
	require.Error(t, json.Unmarshal([]byte(`{"issue_date":"2026-02-29"}`), &back))
	require.Equal(t, date(t, "2026-04-13"), back.Issue, "a refused date changes nothing")
}

// ParseDate accepts exactly what package time reads by its layout 2006-01-02.
func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2025-02-28", "2024-02-29", "2025-02-29", "0000-01-01", "9999-12-31", "1969-12-31", "2025-2-3", "２０２５-01-01", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := weather.ParseDate(s)
		want, wantErr := time.Parse(time.DateOnly, s)
		require.Equal(t, wantErr == nil, err == nil, "%q: %v, package time: %v", s, err, wantErr)
		if err != nil {
			return
		}
		require.True(t, d.Time().Equal(want))
		require.Equal(t, s, d.String())
	})
}
