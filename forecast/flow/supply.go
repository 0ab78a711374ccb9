package flow

import (
	"math"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Stand is what grows of one plant within reach of the bees.
type Stand struct {
	Plant    string
	Hectares float64 // ha of the plant's own cover, not of the land it is scattered over

	// PeakKgPerHaDay is the sugar that a hectare of cover gives on a day at
	// full bloom in good weather, kg/ha/d.
	PeakKgPerHaDay float64
}

// Growing is a stand with its bloom in one year.
type Growing struct {
	Stand Stand
	Bloom phenology.Bloom
}

// Supply returns the nectar sugar that bees could fetch on each day of the
// season, kg/d: the sum over stands of cover × peak rate × share of flowers
// open × weather factor.
func Supply(s phenology.Season, stands []Growing) []float64 {
	kg := make([]float64, s.Len())
	for _, g := range stands {
		peak := g.Stand.Hectares * g.Stand.PeakKgPerHaDay
		first, last := max(g.Bloom.Onset, s.Start), min(g.Bloom.End, s.End()-1)
		for d := first; d <= last; d++ {
			kg[d-s.Start] += peak * g.Bloom.Open(d)
		}
	}
	for i := range kg {
		if kg[i] > 0 {
			kg[i] *= WeatherFactor(s.Min[i], s.Max[i], s.RainMm[i])
		}
	}
	return kg
}

// The weather in which bees fly and plants secrete. The lower limit is
// published (Burrill and Dietz 1981: activity rises from 12 to 20 °C, almost
// none below); the fade in heat and the rain scale are our own choice.
const (
	FlightC   weather.Celsius = 12   // no flight on days that stay below
	fullC     weather.Celsius = 20   // unhindered from here
	heatC     weather.Celsius = 35   // nectar flights begin to fall
	tooHotC   weather.Celsius = 42   // none left
	washoutMm                 = 10   // rain that takes the whole day, mm
	dayWeight                 = 0.75 // share of the maximum in the temperature of the flying hours
)

// WeatherFactor returns the share, 0 to 1, of a good day's nectar that is
// secreted and fetched.
//
//	lo, hi   the day's extremes, °C
//	rainMm   the day's rain, mm; NaN where not known, which counts as dry
func WeatherFactor(lo, hi weather.Celsius, rainMm float64) float64 {
	if hi < FlightC {
		return 0
	}
	flying := dayWeight*hi + (1-dayWeight)*lo
	w := clamp01(float64((flying - FlightC) / (fullC - FlightC)))
	w *= clamp01(float64((tooHotC - hi) / (tooHotC - heatC)))
	if !math.IsNaN(rainMm) {
		w *= clamp01(1 - rainMm/washoutMm)
	}
	return w
}

func clamp01(x float64) float64 { return min(max(x, 0), 1) }
