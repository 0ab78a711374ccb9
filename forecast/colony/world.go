package colony

import (
	"bloomtide/forecast/flow"
	"bloomtide/forecast/honey"
	"bloomtide/phenology"
)

// World is a season with the nectar in it, as any number of colonies may live
// through it.
type World struct {
	Season phenology.Season
	tuning Tuning
	clock  clock
	share  []float64 // honey within one colony's reach on each day, kg
	flight []float64 // share of a good day's flight that temperature allows, 0 to 1
	forage []float64 // and rain and wind, 0 to 1
	dry    []float64 // speed of ripening, about 1
}

// How much faster or slower than usual honey ripens in dry and damp air, by
// the lags of 10, 14 and 21 days that keepers' guides give.
const quickest, slowest = 1.4, 0.67

// NewWorld prepares a season.
//
//	sugarKg  nectar sugar within reach of all colonies on each day, kg
//	sharing  colonies that share it
func NewWorld(s phenology.Season, sugarKg []float64, sharing float64, t Tuning, r flow.Rules) *World {
	t, r = t.WithDefaults(), r.WithDefaults()
	n := s.Len()
	all := make([]float64, 4*n)
	w := &World{
		Season: s, tuning: t, clock: newClock(s, t),
		share: all[:n], flight: all[n : 2*n], forage: all[2*n : 3*n], dry: all[3*n:],
	}
	perKg := honey.FromSugar(1) / sharing
	for i := range n {
		w.share[i] = max(sugarKg[i], 0) * perKg
		w.flight[i] = r.FlightFactor(s.Min[i], s.Max[i])
		w.forage[i] = w.flight[i] * r.RainFactor(s.RainMm[i]) * r.WindFactor(s.Wind(i))
		w.dry[i] = min(max(float64(s.Max[i]-s.Min[i])/t.DryRangeK, slowest), quickest)
	}
	return w
}

// Tuning returns the numbers that colonies live by in this world.
func (w *World) Tuning() Tuning { return w.tuning }

// Laying returns the share of full laying, 0 to 1, that the season allows on
// day i.
func (w *World) Laying(i int) float64 { return w.clock.lay[i] }
