package weather_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
)

// The fixed points of the Fahrenheit scale: freezing and boiling water, and
// −40, where both scales meet.
func TestFahrenheit(t *testing.T) {
	for f, c := range map[float64]float64{32: 0, 212: 100, -40: -40, 50: 10, 86: 30} {
		require.InDelta(t, c, float64(weather.FromFahrenheit(f)), 1e-12)
		require.InDelta(t, f, weather.Celsius(c).Fahrenheit(), 1e-12)
	}
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(-150, 150).Draw(t, "°F")
		require.InDelta(t, f, weather.FromFahrenheit(f).Fahrenheit(), 1e-10)
	})
}

func TestFlagsUsable(t *testing.T) {
	for _, c := range []struct {
		name string
		f    weather.Flags
		want bool
	}{
		{"no value", 0, false},
		{"observed", weather.Observed, true},
		{"estimated", weather.Estimated, true},
		{"observed and rejected", weather.Observed | weather.Rejected, false},
		{"estimated and rejected", weather.Estimated | weather.Rejected, false},
		{"rejected, then estimated anew", weather.Observed | weather.Estimated, true},
		{"rejected only", weather.Rejected, false},
	} {
		t.Run(c.name, func(t *testing.T) { require.Equal(t, c.want, c.f.Usable()) })
	}
}

func TestDayUsable(t *testing.T) {
	good := weather.Day{Min: 2, Max: 12, MinFlags: weather.Observed, MaxFlags: weather.Observed}
	for _, c := range []struct {
		name   string
		change func(*weather.Day)
		want   bool
	}{
		{"both observed", func(*weather.Day) {}, true},
		{"equal extremes", func(d *weather.Day) { d.Max = d.Min }, true},
		{"maximum below minimum", func(d *weather.Day) { d.Max = d.Min - 0.1 }, false},
		{"no minimum", func(d *weather.Day) { d.MinFlags = 0 }, false},
		{"no maximum", func(d *weather.Day) { d.MaxFlags = 0 }, false},
		{"minimum rejected", func(d *weather.Day) { d.MinFlags |= weather.Rejected }, false},
		{"maximum rejected", func(d *weather.Day) { d.MaxFlags |= weather.Rejected }, false},
		{"minimum not a number", func(d *weather.Day) { d.Min = weather.Celsius(math.NaN()) }, false},
		{"maximum not a number", func(d *weather.Day) { d.Max = weather.Celsius(math.NaN()) }, false},
		{"rain rejected", func(d *weather.Day) { d.RainFlags = weather.Rejected }, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := good
			c.change(&d)
			require.Equal(t, c.want, d.Usable())
			require.False(t, d.Estimated())
			d.MaxFlags |= weather.Estimated
			require.True(t, d.Estimated())
		})
	}
	require.False(t, weather.Day{}.Usable(), "an empty day is not 0 °C")
}

func TestSeriesSlice(t *testing.T) {
	s := weather.Series{Start: 100, Site: weather.Site{ID: "Invented Ridge"}}
	for i := range 10 {
		s.Days = append(s.Days, weather.Day{
			Min: weather.Celsius(i), Max: weather.Celsius(i), MinFlags: weather.Observed, MaxFlags: weather.Observed,
		})
	}
	s.Days[4].MaxFlags |= weather.Rejected
	rapid.Check(t, func(t *rapid.T) {
		from := weather.Date(rapid.Int32Range(90, 120).Draw(t, "from"))
		to := weather.Date(rapid.Int32Range(90, 120).Draw(t, "to"))
		part := s.Slice(from, to)
		usable := 0
		for d := weather.Date(80); d < 130; d++ {
			want := weather.Day{}
			if from <= d && d < to {
				want = s.At(d)
			}
			require.Equal(t, want, part.At(d), "day %d", d)
			if want.Usable() {
				usable++
			}
		}
		require.Equal(t, usable, s.Usable(from, to))
		require.Equal(t, weather.Date(len(part.Days)), part.End()-part.Start)
		require.Equal(t, "Invented Ridge", part.Site.ID)
	})
	require.Equal(t, weather.Date(110), s.End())
	require.Equal(t, weather.Day{}, s.At(99))
	require.Equal(t, weather.Day{}, s.At(110))
	require.Equal(t, weather.Celsius(9), s.At(109).Max)
	require.Equal(t, 9, s.Usable(0, 1000))
}

func TestSiteLocated(t *testing.T) {
	at := func(lon, lat float64) weather.Site { return weather.Site{Point: [2]float64{lon, lat}} }
	require.True(t, at(7.6, 47.5).Located())
	require.True(t, at(-180, -90).Located())
	require.False(t, at(47.5, 91).Located())
	require.False(t, at(181, 47).Located())
	require.False(t, weather.Site{Point: weather.Nowhere()}.Located())
	require.Equal(t, 47.5, at(7.6, 47.5).LatDeg(), "orb points are longitude first")
}

func TestElementString(t *testing.T) {
	// Names of elements in the readme of NOAA's GHCN-Daily (from memory).
	for e, want := range map[weather.Element]string{
		weather.TMax: "TMAX", weather.TMin: "TMIN", weather.TMean: "TAVG",
		weather.Rain: "PRCP", weather.Wind: "AWND", 0: "element?", 200: "element?",
	} {
		require.Equal(t, want, e.String())
	}
}

func TestSyntaxError(t *testing.T) {
	full := weather.SyntaxError{
		File: "station.csv", Line: 214, Column: 3, Value: "481.0",
		What: "TMAX 481.0 °C is outside -90..60", Mend: "is the file in tenths of °C?",
	}
	require.EqualError(t, &full, "station.csv:214:3: TMAX 481.0 °C is outside -90..60; is the file in tenths of °C?")
	for _, c := range []struct {
		change func(*weather.SyntaxError)
		want   string
	}{
		{func(e *weather.SyntaxError) { e.Column = 0 }, "station.csv:214: too short; give more days"},
		{func(e *weather.SyntaxError) { e.Line, e.Column = 0, 0 }, "station.csv: too short; give more days"},
		{func(e *weather.SyntaxError) { e.Mend = "" }, "station.csv:214:3: too short"},
	} {
		e := full
		e.What, e.Mend = "too short", "give more days"
		c.change(&e)
		require.EqualError(t, &e, c.want)
	}
}
