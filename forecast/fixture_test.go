package forecast_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// climate is invented weather: a sine over the year about a mean, with days
// that resemble the day before. All places are invented.
type climate struct {
	latDeg float64
	mean   float64 // of the year, °C
	swing  float64 // warmest day above the mean, K
	seed   uint64
}

// The temperate figures are those of a mid-latitude inland station: 10 °C a
// year, 11 K either side (World Meteorological Organization normals of central
// Europe and the north-eastern United States, from memory).
var (
	temperate = climate{latDeg: 45, mean: 10, swing: 11, seed: 1}
	tropical  = climate{latDeg: 8, mean: 27, swing: 1.5, seed: 2}
	arctic    = climate{latDeg: 69, mean: -12, swing: 14, seed: 3}
)

const (
	halfRangeK = 5.5 // day's extremes either side of its mean
	memory     = 0.7 // of a day's departure left on the next
	noiseK     = 2.0 // fresh departure, standard deviation
	wetShare   = 0.25
)

// phase returns the phase of the year, 0 to 2π, counted from 21 July in the
// north and from 20 January in the south.
func (c climate) phase(d weather.Date) float64 {
	y, _, _ := d.YMD()
	warmest := weather.YearMonthDay(y, 7, 21)
	if c.latDeg < 0 {
		warmest = weather.YearMonthDay(y, 1, 20)
	}
	return 2 * math.Pi * float64(d-warmest) / 365.25
}

// series is the record from (inclusive) to to (exclusive).
func (c climate) series(from, to weather.Date) weather.Series {
	s := weather.Series{
		Site:  weather.Site{ID: "invented-valley", Name: "Invented Valley", Point: [2]float64{8, c.latDeg}},
		Start: from,
	}
	r := rand.New(rand.NewPCG(c.seed, 7))
	departure := 0.0
	for d := from; d < to; d++ {
		departure = memory*departure + noiseK*r.NormFloat64()
		mean := c.mean + c.swing*math.Cos(c.phase(d)) + departure
		half := halfRangeK * (0.5 + r.Float64())
		rain := 0.0
		if r.Float64() < wetShare {
			rain = 5 * r.ExpFloat64()
		}
		s.Days = append(s.Days, weather.Day{
			Min: weather.Celsius(mean - half), Max: weather.Celsius(mean + half), RainMm: rain,
			MinFlags: weather.Observed, MaxFlags: weather.Observed, RainFlags: weather.Observed,
		})
	}
	return s
}

// record is the record of whole years, first to last.
func (c climate) record(first, last int) weather.Series {
	return c.series(weather.YearMonthDay(first, 1, 1), weather.YearMonthDay(last+1, 1, 1))
}

// above5 counts heat by the single sine above 5 °C.
var above5 = phenology.Clock{Thresholds: phenology.Thresholds{Lower: 5}}

// apiary has willow, rape, clover and lime around it. Degree days are of the
// order that published tables give above 5 °C (PHENOLOGY.md, ../shared/science);
// peak rates are from HIVE.md, section 1.3.
func apiary() forecast.Apiary {
	plant := func(name string, onset phenology.DegreeDays, days float64) phenology.Model {
		return phenology.Model{
			Plant: name, Clock: above5, Onset: onset, BloomDays: days, RelativeSD: 0.08,
			Status: phenology.Published, Source: "invented for the test",
		}
	}
	return forecast.Apiary{
		ID: "invented-valley", Name: "Invented Valley",
		Plants: []phenology.Model{
			plant("goat willow", 60, 14), plant("oilseed rape", 220, 28),
			plant("white clover", 560, 42), plant("small-leaved lime", 950, 12),
		},
		Stands: []flow.Stand{
			{Plant: "oilseed rape", Hectares: 25, PeakKgPerHaDay: 5.96},
			{Plant: "white clover", Hectares: 12, PeakKgPerHaDay: 13.28},
			{Plant: "small-leaved lime", Hectares: 8, PeakKgPerHaDay: 10},
		},
	}
}

// without leaves the stands of some plants out.
func without(a forecast.Apiary, plants ...string) forecast.Apiary {
	a.Stands = slices.DeleteFunc(slices.Clone(a.Stands), func(s flow.Stand) bool { return slices.Contains(plants, s.Plant) })
	return a
}

func run(t testing.TB, a forecast.Apiary, s weather.Series, issue weather.Date) forecast.Forecast {
	f, err := forecast.Run(a, s, issue)
	require.NoError(t, err)
	return f
}

func day(y int, m time.Month, d int) weather.Date { return weather.YearMonthDay(y, m, d) }
