package fill

import (
	"math"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const start weather.Date = 10957 // 2000-01-01

// record makes a series with a yearly wave; gone tells which days are missing.
func record(days int, gone func(i int) bool) weather.Series {
	s := weather.Series{Start: start, Days: make([]weather.Day, days)}
	for i := range s.Days {
		if gone(i) {
			continue
		}
		m := weather.Celsius(10 - 12*math.Cos(2*math.Pi*float64(i)/365.2425))
		s.Days[i] = weather.Day{Min: m - 5, Max: m + 5, MinFlags: weather.Observed, MaxFlags: weather.Observed}
	}
	return s
}

func between(from, to int) func(int) bool {
	return func(i int) bool { return i >= from && i < to }
}

func TestShortGapIsStraight(t *testing.T) {
	s := record(20, between(5, 8))
	for i := range s.Days {
		s.Days[i].Max = 30
	}
	s.Days[4].Min, s.Days[8].Min = 2, 10
	got, n := Series(s, Options{})
	// Three days between 2 and 10 are 4, 6 and 8.
	require.InDeltaSlice(t, []float64{4, 6, 8}, []float64{float64(got.Days[5].Min), float64(got.Days[6].Min), float64(got.Days[7].Min)}, 1e-12)
	require.Equal(t, Count{Short: 6, Days: 3}, n)
	for i, d := range got.Days {
		require.Equal(t, i >= 5 && i < 8, d.Estimated())
		require.True(t, d.Usable())
	}
	require.Zero(t, s.Days[5].MinFlags, "the given series is left alone")
}

func TestWhichGapsAreFilled(t *testing.T) {
	for _, c := range []struct {
		name         string
		days         int
		from, to     int
		o            Options
		filled, long bool
	}{
		{"five days", 3000, 1000, 1005, Options{}, true, false},
		{"six days", 3000, 1000, 1006, Options{}, true, true},
		{"sixty days", 3000, 1000, 1060, Options{}, true, true},
		{"sixty-one days", 3000, 1000, 1061, Options{}, false, false},
		{"six days of a record of four years", 1461, 700, 706, Options{}, false, false},
		{"six days of six years, ten asked", 2200, 700, 706, Options{Years: 10}, false, false},
		{"at the beginning", 3000, 0, 3, Options{}, false, false},
		{"at the end", 3000, 2998, 3000, Options{}, false, false},
		{"none wanted", 3000, 1000, 1003, Options{Short: -1, Long: -1}, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := record(c.days, between(c.from, c.to))
			got, n := Series(s, c.o)
			for i := c.from; i < c.to; i++ {
				require.Equal(t, c.filled, got.Days[i].Usable())
			}
			require.Equal(t, c.long, n.Long > 0)
			if !c.filled {
				require.Equal(t, Count{}, n)
			}
		})
	}
}

// A record that is its own normal is refilled as it was, up to what a window
// of 31 days smooths off a wave of a year: 1−sin(x)/x with x=15.5·2π/365,
// 1.2 % of 12 K, and the leap day's shift.
func TestLongGapFollowsTheNormal(t *testing.T) {
	whole := record(4000, func(int) bool { return false })
	got, n := Series(record(4000, between(1500, 1550)), Options{})
	require.Equal(t, 100, n.Long)
	for i := 1500; i < 1550; i++ {
		require.InDelta(t, float64(whole.Days[i].Min), float64(got.Days[i].Min), 0.25)
	}
}

// A warm spell on both sides of a gap fades to the normal in its middle.
func TestAnomalyFades(t *testing.T) {
	s := record(4000, between(1500, 1540))
	for i := range s.Days { // a ripple of which one day tells about the next: φ = cos 1 = 0.54
		ripple := weather.Celsius(4 * math.Sin(float64(i)))
		s.Days[i].Min += ripple
		s.Days[i].Max += ripple
	}
	s.Days[1499].Min, s.Days[1540].Min = s.Days[1499].Min+8, s.Days[1540].Min+8
	got, _ := Series(s, Options{})
	plain := record(4000, func(int) bool { return false })
	off := func(i int) float64 { return float64(got.Days[i].Min - plain.Days[i].Min) }
	for _, beside := range []int{1499, 1540} {
		inward := 1
		if beside == 1540 {
			inward = -1
		}
		x := float64(s.Days[beside].Min - plain.Days[beside].Min)
		require.InDelta(t, 0.54*x, off(beside+inward), 0.4)
		require.InDelta(t, 0.54*0.54*x, off(beside+2*inward), 0.4)
	}
	require.InDelta(t, 0, off(1520), 0.3)
}

func TestRejectedIsWrittenOver(t *testing.T) {
	s := record(20, func(int) bool { return false })
	s.Days[7].Max, s.Days[7].MaxFlags = 55, weather.Observed|weather.Rejected
	got, n := Series(s, Options{})
	require.Equal(t, 1, n.Days)
	require.Equal(t, weather.Estimated, got.Days[7].MaxFlags)
	require.Less(t, float64(got.Days[7].Max), 10.0)
	require.Equal(t, weather.Observed, got.Days[7].MinFlags)
}

// Properties over random records: what was observed stays, what is filled is
// flagged, lies within range and keeps the day the right way up.
func TestFillProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := weather.Series{Start: start}
		n := rapid.IntRange(0, 400).Draw(t, "days")
		for range n {
			var d weather.Day
			if rapid.IntRange(0, 9).Draw(t, "min there") > 0 {
				d.Min, d.MinFlags = weather.Celsius(rapid.Float64Range(-90, 60).Draw(t, "min")), weather.Observed
			}
			if rapid.IntRange(0, 9).Draw(t, "max there") > 0 {
				low := -90.0
				if d.MinFlags != 0 {
					low = float64(d.Min)
				}
				d.Max, d.MaxFlags = weather.Celsius(rapid.Float64Range(low, 60).Draw(t, "max")), weather.Observed
			}
			s.Days = append(s.Days, d)
		}
		got, _ := Series(s, Options{Years: 1})
		for i, d := range got.Days {
			was := s.Days[i]
			if was.MinFlags.Usable() {
				require.Equal(t, was.Min, d.Min)
			} else if d.MinFlags != 0 {
				require.Equal(t, weather.Estimated, d.MinFlags)
			}
			if d.MinFlags.Usable() && d.MaxFlags.Usable() {
				require.LessOrEqual(t, d.Min, d.Max)
				require.GreaterOrEqual(t, d.Min, weather.Coldest)
				require.LessOrEqual(t, d.Max, weather.Hottest)
			}
		}
	})
}

func TestSlot(t *testing.T) {
	for _, c := range []struct {
		date string
		want int
	}{{"2001-01-01", 0}, {"2001-02-28", 58}, {"2000-02-29", 59}, {"2001-03-01", 60}, {"2000-03-01", 60}, {"1900-03-01", 60}, {"2000-12-31", 365}, {"2001-12-31", 365}} {
		d, err := weather.ParseDate(c.date)
		require.NoError(t, err)
		require.Equal(t, c.want, slot(d), c.date)
	}
}

// The quick numbering is the slow one, over every day that a record may hold.
func TestSlotsFrom(t *testing.T) {
	const from, days = -98615, 146462 // 1700-01-01 to 2100-12-31
	for i, got := range slotsFrom(from, days) {
		if want := slot(from + weather.Date(i)); int(got) != want {
			require.Equal(t, want, int(got), from+weather.Date(i))
		}
	}
	got := slotsFrom(from+100, 50)
	require.Equal(t, slot(from+149), int(got[49]))
}
