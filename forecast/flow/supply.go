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
// open × weather factor of temperature, rain and, where known, wind.
func Supply(s phenology.Season, stands []Growing) []float64 {
	return DefaultRules().Supply(s, stands)
}

// Supply is the function Supply by these rules, which must be complete.
func (r Rules) Supply(s phenology.Season, stands []Growing) []float64 {
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
			kg[i] *= r.WeatherFactor(s.Min[i], s.Max[i], s.RainMm[i]) * r.WindFactor(s.Wind(i))
		}
	}
	return kg
}

// dayWeight is the share of the maximum in the temperature of the flying
// hours: a quarter of the way down the day's curve. Our own choice.
const dayWeight = 0.75

// FlightC is the default of Rules.FlightC. Burrill and Dietz 1981: activity
// rises from 12 to 20 °C, almost none below.
const FlightC weather.Celsius = 12

// WeatherFactor returns the share, 0 to 1, of a good day's nectar that is
// secreted and fetched, by the default rules.
//
//	lo, hi   the day's extremes, °C
//	rainMm   the day's rain, mm; NaN where not known, which counts as dry
func WeatherFactor(lo, hi weather.Celsius, rainMm float64) float64 {
	return DefaultRules().WeatherFactor(lo, hi, rainMm)
}

// WeatherFactor is the function WeatherFactor by these rules, which must be
// complete.
func (r Rules) WeatherFactor(lo, hi weather.Celsius, rainMm float64) float64 {
	return r.FlightFactor(lo, hi) * r.RainFactor(rainMm)
}

// RainFactor returns the share, 0 to 1, of a good day's flight that rain
// leaves.
//
//	rainMm   the day's rain, mm; NaN where not known, which counts as dry
func (r Rules) RainFactor(rainMm float64) float64 {
	if math.IsNaN(rainMm) {
		return 1
	}
	return clamp01(1 - rainMm/r.WashoutMm)
}

// WindFactor returns the share, 0 to 1, of a good day's flight that wind leaves.
//
//	windMs  the day's mean wind, m/s; NaN where not known, which counts as calm
func (r Rules) WindFactor(windMs float64) float64 {
	if math.IsNaN(windMs) {
		return 1
	}
	return clamp01((r.GaleMs - windMs) / max(r.GaleMs-r.CalmMs, 1e-9))
}

// FlightFactor returns the share, 0 to 1, of a good day's flight that the
// temperature alone allows. Cool side by Burrill and Dietz 1981; the fade in
// heat is our own choice.
func (r Rules) FlightFactor(lo, hi weather.Celsius) float64 {
	top := float64(hi)
	if top < r.FlightC {
		return 0
	}
	flying := dayWeight*top + (1-dayWeight)*float64(lo)
	return clamp01((flying-r.FlightC)/(r.FullC-r.FlightC)) * clamp01((r.TooHotC-top)/(r.TooHotC-r.HeatC))
}

// HoursAbove returns the hours of a day above a temperature, by a sine between
// the extremes.
//
//	24/π × arccos((th − mean) / amplitude), 0 to 24
//
// Geometry of the sine.
func HoursAbove(lo, hi, th weather.Celsius) float64 {
	mean, amplitude := float64(hi+lo)/2, float64(hi-lo)/2
	if amplitude <= 0 {
		if mean > float64(th) {
			return 24
		}
		return 0
	}
	return 24 / math.Pi * math.Acos(min(max((float64(th)-mean)/amplitude, -1), 1))
}

func clamp01(x float64) float64 { return min(max(x, 0), 1) }
