package qc_test

import (
	"math"
	"testing"

	"bloomtide/ingest/qc"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// region makes invented stations that share their weather, of n days, each
// with a little noise of its own.
func region(stations, n int) []weather.Series {
	seed := uint32(11)
	noise := func() float64 { // Numerical Recipes' quick generator, from memory
		seed = seed*1664525 + 1013904223
		return float64(seed>>8)/(1<<24) - 0.5
	}
	out := make([]weather.Series, stations)
	for k := range out {
		out[k] = weather.Series{Site: weather.Site{ID: string(rune('a' + k))}, Start: 3653}
	}
	state := 0.0
	for i := range n {
		state = 0.7*state + 9*noise()
		season := 10 - 9*math.Cos(2*math.Pi*float64(i)/365.25)
		for k := range out {
			t := season + state + noise()
			day := weather.Day{MinFlags: weather.Observed, MaxFlags: weather.Observed}
			day.Min, day.Max = tenth(t-5+noise()), tenth(t+5+noise())
			out[k].Days = append(out[k].Days, day)
		}
	}
	return out
}

func tenth(t float64) weather.Celsius { return weather.Celsius(math.Round(t*10) / 10) }

func names(r qc.Result) (out []string) {
	for _, f := range r.Findings {
		out = append(out, f.Check)
	}
	return out
}

func TestCleanRecordIsLeftAlone(t *testing.T) {
	all := region(4, 3000)
	r := qc.Station(all[0], qc.Options{Neighbours: all[1:]})
	require.Empty(t, r.Findings)
	require.Equal(t, all[0].Days, r.Series.Days)
}

// One damage a row, the check that must find it, and the day.
func TestEachCheckFindsItsDamage(t *testing.T) {
	for _, c := range []struct {
		check    string
		damage   func(days []weather.Day)
		rejected int
	}{
		{"limits", func(d []weather.Day) { d[900].Max = 61 }, 1},
		{"order", func(d []weather.Day) { d[900].Min = d[900].Max + 1 }, 2},
		{"both zero", func(d []weather.Day) { d[900].Min, d[900].Max = 0, 0 }, 2}, // midsummer
		{"repeated", func(d []weather.Day) {
			for i := range 20 {
				d[900+i].Max = 19.4
			}
		}, 20},
		{"copied month", func(d []weather.Day) { copy(d[912:943], d[912-365:943-365]) }, 0}, // a whole month of 31 days
		{"far apart", func(d []weather.Day) { d[900].Max = 55 }, 1},
		{"neighbours", func(d []weather.Day) { d[900].Max -= 12; d[900].Min -= 12 }, 2},
		{"outlier", func(d []weather.Day) { d[900].Min, d[903].Min, d[906].Min, d[909].Min = -22, -13, -5, 3 }, 0},
	} {
		t.Run(c.check, func(t *testing.T) {
			all := region(4, 3000)
			if c.check == "copied month" {
				// Begin a month on day 912 and on the same day of the year before.
				for k := range all {
					all[k].Start = 4108 - 912 // 4108 is 1981-04-01
				}
			}
			c.damage(all[0].Days)
			if c.check == "copied month" {
				copy(all[0].Days[912:942], all[0].Days[912-365:942-365])
			}
			r := qc.Station(all[0], qc.Options{Neighbours: all[1:]})
			require.Contains(t, names(r), c.check)
			if c.rejected > 0 {
				require.InDelta(t, c.rejected, r.Rejected, 1)
			}
			require.Equal(t, len(r.Findings), sum(r.Counts))
			for _, f := range r.Findings {
				require.NotEmpty(t, f.What)
				require.NotEmpty(t, f.Mend)
			}
		})
	}
}

func sum(m map[string]int) (n int) {
	for _, v := range m {
		n += v
	}
	return n
}

// In a record too short for a climate of its own, jumps are all there is.
func TestJumpsInAShortRecord(t *testing.T) {
	for check, damage := range map[string]func(d []weather.Day){
		"spike": func(d []weather.Day) { d[30].Max += 30 },
		"step": func(d []weather.Day) {
			for i := 30; i < 60; i++ {
				d[i].Max += 35
			}
		},
		"day to day": func(d []weather.Day) { d[30].Min, d[30].Max, d[31].Max = 3, 9, 1; d[31].Min = -2; d[29].Max = 9 },
		"lag":        func(d []weather.Day) { d[30].Min -= 20; d[31].Max += 16 },
	} {
		s := region(1, 60)[0]
		damage(s.Days)
		r := qc.Station(s, qc.Options{})
		require.Contains(t, names(r), check)
		require.Equal(t, check == "spike", r.Rejected > 0, check)
	}
}

// Values are marked, never changed or taken out, and observed data stay as
// they were given.
func TestNothingIsChangedButFlags(t *testing.T) {
	whole := region(4, 1200)
	rapid.Check(t, func(t *rapid.T) {
		s := whole[0]
		s.Days = append([]weather.Day(nil), s.Days...)
		for range rapid.IntRange(0, 10).Draw(t, "slips") {
			i := rapid.IntRange(0, len(s.Days)-1).Draw(t, "day")
			s.Days[i].Max = weather.Celsius(rapid.Float64Range(-200, 200).Draw(t, "value"))
		}
		given := append([]weather.Day(nil), s.Days...)
		r := qc.Station(s, qc.Options{Neighbours: whole[1:]})
		require.Equal(t, given, s.Days)
		marked := 0
		for i, d := range r.Series.Days {
			require.Equal(t, s.Days[i].Min, d.Min)
			require.Equal(t, s.Days[i].Max, d.Max)
			require.Equal(t, s.Days[i].MinFlags, d.MinFlags&^weather.Rejected)
			for _, f := range []weather.Flags{d.MinFlags, d.MaxFlags} {
				if f&weather.Rejected != 0 {
					marked++
				}
			}
		}
		require.Equal(t, r.Rejected, marked)
	})
}

// A maximum written down on the day after is found against the neighbours,
// in the right years, and put back where that is asked for.
func TestShiftedDay(t *testing.T) {
	for _, lag := range []int{1, -1} {
		all := region(4, 365*8)
		true0 := append([]weather.Day(nil), all[0].Days...)
		year := func(i int) int { return (all[0].Start + weather.Date(i)).Year() }
		for i := range all[0].Days {
			if y := year(i); y >= 1982 && y <= 1984 && i > 0 && i+1 < len(true0) {
				all[0].Days[i].Max = true0[i-lag].Max
			}
		}
		r := qc.Station(all[0], qc.Options{Neighbours: all[1:]})
		require.Equal(t, 1, r.Counts["shifted day"], names(r))
		for _, f := range r.Findings {
			if f.Check == "shifted day" {
				require.Equal(t, "1982-01-01", f.Date.String())
				require.Equal(t, "1984-12-31", f.Through.String())
				require.Equal(t, weather.TMax, f.Element)
			}
		}
		back := qc.Station(all[0], qc.Options{Neighbours: all[1:], UndoShift: true})
		wrong := 0
		for i, d := range back.Series.Days {
			if y := year(i); y >= 1982 && y <= 1984 && d.MaxFlags.Usable() && d.Max != true0[i].Max {
				wrong++
			}
		}
		require.LessOrEqual(t, wrong, 1)
	}
}

// A step of 1.5 K in the level is found within two months of its day.
func TestChangePoint(t *testing.T) {
	all := region(3, 365*12)
	const at = 365 * 5
	for i := at; i < len(all[0].Days); i++ {
		all[0].Days[i].Min += 1.5
	}
	r := qc.Station(all[0], qc.Options{Neighbours: all[1:]})
	require.Equal(t, []string{"change point"}, names(r))
	require.Equal(t, weather.TMin, r.Findings[0].Element)
	require.InDelta(t, at, int(r.Findings[0].Date-all[0].Start), 62)
	require.Zero(t, r.Rejected)
}

// Every check names who proposed it, and names are told apart.
func TestChecksNameTheirSource(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range qc.Checks() {
		require.NotEmpty(t, c.Source)
		require.NotEmpty(t, c.Says)
		require.False(t, seen[c.Name])
		seen[c.Name] = true
	}
}

func TestEmptyRecord(t *testing.T) {
	require.Empty(t, qc.Station(weather.Series{}, qc.Options{Neighbours: region(2, 400)}).Findings)
}

func BenchmarkStation(b *testing.B) {
	all := region(6, 10950)
	b.ReportAllocs()
	for b.Loop() {
		qc.Station(all[0], qc.Options{Neighbours: all[1:]})
	}
}
