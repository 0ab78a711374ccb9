package archive_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// day0 is 2001-02-27, by the date command of GNU coreutils.
const day0 weather.Date = 11380

// invented is the record of an invented station, tenths of a degree, with
// gaps, rejected and estimated values.
func invented(id string, days int, seed uint64) weather.Series {
	r := rand.New(rand.NewPCG(seed, 1))
	site := weather.Site{ID: id, Name: "Invented " + id, Point: orb.Point{-93.25, 44.875}, ElevM: 251.5}
	s := weather.Series{Site: site, Start: day0, Days: make([]weather.Day, days), Sources: []weather.Site{site}}
	for i := range s.Days {
		d := &s.Days[i]
		mean := 100 - 120*math.Cos(float64(i)/58) + 30*r.NormFloat64()
		if r.IntN(30) != 0 {
			d.Min, d.MinFlags = weather.Celsius(math.Round(mean-60))/10, weather.Observed
		}
		if r.IntN(30) != 0 {
			d.Max, d.MaxFlags = weather.Celsius(math.Round(mean+60))/10, weather.Observed
		}
		if r.IntN(40) == 0 && d.MaxFlags != 0 {
			d.MaxFlags |= weather.Rejected
		}
		if r.IntN(50) == 0 {
			d.Min, d.MinFlags = weather.Celsius(math.Round(mean-60))/10, weather.Estimated
		}
		if r.IntN(3) != 0 {
			d.RainMm, d.RainFlags = float64(r.IntN(300))/10, weather.Observed
		}
	}
	return s
}

// windy gives a series wind on some days, calm, rejected and estimated too.
func windy(s weather.Series, seed uint64) weather.Series {
	r := rand.New(rand.NewPCG(seed, 2))
	s.Days = append([]weather.Day(nil), s.Days...)
	flags := []weather.Flags{0, weather.Observed, weather.Observed, weather.Observed | weather.Rejected, weather.Estimated}
	for i := range s.Days {
		if f := flags[r.IntN(len(flags))]; f != 0 {
			s.Days[i].WindMs, s.Days[i].WindFlags = float64(r.IntN(200))/10, f
		}
	}
	return s
}

// same wants two series to be equal, unknown numbers included.
func same(t require.TestingT, want, got weather.Series) {
	known := func(s weather.Series) weather.Series {
		mask := func(v weather.Site) weather.Site {
			if math.IsNaN(v.ElevM) {
				v.ElevM = -1e9
			}
			if !v.Located() {
				v.Point = orb.Point{}
			}
			return v
		}
		s.Site = mask(s.Site)
		s.Sources = append([]weather.Site(nil), s.Sources...)
		for i := range s.Sources {
			s.Sources[i] = mask(s.Sources[i])
		}
		return s
	}
	require.Equal(t, known(want), known(got))
}

func tempArchive(t testing.TB) string { return t.TempDir() + "/records" }
