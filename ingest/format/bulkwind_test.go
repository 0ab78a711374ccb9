package format_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// asOpenHasIt are the days of the stations of a text as the reader of any file
// has them, empty ones left out: the first value stands, unless it is rejected
// and a later one is not. Bad lines are passed over. Values are in tenths, as large
// files have them but for what is damaged, and as the archive keeps them.
func asOpenHasIt(t require.TestingT, text string) map[string]map[weather.Date]weather.Day {
	f, err := format.Open(strings.NewReader(text), format.Options{Name: "x"})
	require.NoError(t, err)
	out := map[string]map[weather.Date]weather.Day{}
	for r, err := range f.Readings() {
		if err != nil || r.Element == weather.TMean || !format.Possible(r.Element, r.Value) {
			continue
		}
		if out[r.Station] == nil {
			out[r.Station] = map[weather.Date]weather.Day{}
		}
		d := out[r.Station][r.Date]
		put := func(v *float64, f *weather.Flags) {
			if *f == 0 || !f.Usable() && r.Flags.Usable() {
				*v, *f = math.Round(r.Value*10)/10, r.Flags
			}
		}
		lo, hi := float64(d.Min), float64(d.Max)
		switch r.Element {
		case weather.TMin:
			put(&lo, &d.MinFlags)
		case weather.TMax:
			put(&hi, &d.MaxFlags)
		case weather.Rain:
			put(&d.RainMm, &d.RainFlags)
		case weather.Wind:
			put(&d.WindMs, &d.WindFlags)
		}
		d.Min, d.Max = weather.Celsius(lo), weather.Celsius(hi)
		out[r.Station][r.Date] = d
	}
	for id, days := range out {
		first, last, any := span(days)
		for date := range days {
			if date < first || date > last {
				delete(days, date)
			}
		}
		if !any {
			delete(out, id)
		}
	}
	return out
}

// span returns the first and the last day with a temperature.
func span(days map[weather.Date]weather.Day) (first, last weather.Date, any bool) {
	for date, d := range days {
		if d.MinFlags|d.MaxFlags == 0 {
			continue
		}
		if !any {
			first, last, any = date, date, true
		}
		first, last = min(first, date), max(last, date)
	}
	return first, last, any
}

// daysOf are the days of series by station and date, empty ones left out.
func daysOf(all map[string]weather.Series) map[string]map[weather.Date]weather.Day {
	out := map[string]map[weather.Date]weather.Day{}
	for id, s := range all {
		days := map[weather.Date]weather.Day{}
		for i, d := range s.Days {
			if d != (weather.Day{}) {
				days[s.Start+weather.Date(i)] = d
			}
		}
		out[id] = days
	}
	return out
}

// Days, wind among them, are those of the reader that plan uses, exactly, faults
// or none, in whatever shares the file is read.
func TestByYearAsOpenHasIt(t *testing.T) {
	for seed := range uint64(4) {
		text := yearFile(seed, 20000, seed%2 == 1)
		want := asOpenHasIt(t, text)
		wind := 0
		for _, days := range want {
			for _, d := range days {
				if d.WindFlags != 0 {
					wind++
				}
			}
		}
		require.Greater(t, wind, 1000)
		for _, workers := range []int{1, 2, 5} {
			l, ok, err := format.ReadByYear(format.LargeSource{Name: "y.csv", Reader: strings.NewReader(text), Workers: workers})
			require.NoError(t, err)
			require.True(t, ok)
			require.Equal(t, want, daysOf(large(t, l, workers)), "%d workers", workers)
		}
	}
}

// Wind met twice: one that is not rejected stands before one that is, else the
// first, across the border of two shares too; it counts as no duplicate. Wind
// outside the days with a temperature goes, and a station without any stays out.
func TestWindOfALargeFile(t *testing.T) {
	line := func(day int, element string, v int, flag string) string {
		return fmt.Sprintf("QZ000000001,202401%02d,%s,%d,,%s,7,\n", day, element, v, flag)
	}
	extremes := line(4, "TMAX", 50, "") + line(2, "TMIN", 10, "")
	filler := strings.Repeat("QZ000000002,20240101,AWND,30,,,7,\n", 50)
	for name, c := range map[string]struct {
		first, second string
		want          weather.Day
	}{
		"the first":               {line(3, "AWND", 34, ""), line(3, "AWND", 51, ""), weather.Day{WindMs: 3.4, WindFlags: weather.Observed}},
		"the one not rejected":    {line(3, "AWND", 34, "X"), line(3, "AWND", 51, ""), weather.Day{WindMs: 5.1, WindFlags: weather.Observed}},
		"the first of two bad":    {line(3, "AWND", 34, "X"), line(3, "AWND", 51, "X"), weather.Day{WindMs: 3.4, WindFlags: weather.Observed | weather.Rejected}},
		"a good one is not moved": {line(3, "AWND", 0, ""), line(3, "AWND", 51, "X"), weather.Day{WindFlags: weather.Observed}},
		"not before the record":   {line(1, "AWND", 34, ""), line(5, "AWND", 51, ""), weather.Day{}},
		"a bad one that cannot be": {line(3, "AWND", 99999, "X"), line(3, "AWND", 51, "X"),
			weather.Day{WindMs: 5.1, WindFlags: weather.Observed | weather.Rejected}},
	} {
		for _, workers := range []int{1, 2, 3} {
			text := c.first + extremes + filler + c.second
			src := format.LargeSource{Reader: strings.NewReader(text), Workers: workers}
			l, ok, err := format.ReadByYear(src)
			require.NoError(t, err)
			require.True(t, ok)
			require.Equal(t, 2, l.Stations)
			given := 0
			require.NoError(t, l.Each(1, func(s weather.Series, n format.Tally) error {
				given++
				require.Equal(t, "QZ000000001", s.Site.ID)
				require.Len(t, s.Days, 3)
				require.Equal(t, c.want, s.Days[1], name)
				require.Zero(t, n.Duplicate)
				return nil
			}))
			require.Equal(t, 1, given)
			src.Reader, src.NoRain = strings.NewReader(text), true
			l, ok, err = format.ReadByYear(src)
			require.NoError(t, err)
			require.True(t, ok)
			require.Zero(t, large(t, l, 1)["QZ000000001"].Days[1], "a dry run keeps none")
		}
	}
}

// The room that one file leaves to the next holds no wind of the first.
func TestWindDoesNotBlowIntoTheNextFile(t *testing.T) {
	windy := strings.ReplaceAll(stationText(2, 900, false), `QUILL ""BRIDGE"", QZ`, "A")
	calm := strings.ReplaceAll(windy, "AWND", "WSFG")
	room := new(format.Room)
	for range 2 {
		for _, text := range []string{windy, calm} {
			l, ok, err := format.ReadStationCSV(format.LargeSource{Reader: strings.NewReader(text), Room: room})
			require.NoError(t, err)
			require.True(t, ok)
			require.Equal(t, asOpenHasIt(t, text), daysOf(large(t, l, 1)))
		}
	}
}

// Days that stand twice in a by-station file, with other values.
func TestDaysTwiceInAStationFile(t *testing.T) {
	plain := func(seed uint64) string {
		return strings.ReplaceAll(stationText(seed, 900, false), `QUILL ""BRIDGE"", QZ`, "A")
	}
	_, again, _ := strings.Cut(plain(4), "\n")
	text := plain(2) + again
	l, ok, err := format.ReadStationCSV(format.LargeSource{Reader: strings.NewReader(text)})
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, asOpenHasIt(t, text), daysOf(large(t, l, 1)))
}
