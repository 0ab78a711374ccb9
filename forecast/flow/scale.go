package flow

import (
	"math"

	"bloomtide/ingest/weather"
)

// Reading is one weight on a hive scale.
type Reading struct {
	Date weather.Date
	Kg   float64 // the whole hive, kg
	// Handled: the keeper added or took something since the reading before.
	Handled bool
}

// Gains is what a hive scale says of the bees' own work.
type Gains struct {
	Start   weather.Date
	GainKg  []float64      // net gain of each day, kg; 0 on days in Jumps
	Jumps   []weather.Date // days whose change was the keeper's, not the bees'
	Bridged int            // days between readings that lay apart, evenly shared
}

// bridgeDays between two readings may be shared out evenly; more are a hole,
// which counts as no gain, days. Our own choice.
const bridgeDays = 7

// Weighed returns the daily gains from readings in the order of their dates.
// The gain of a day is its reading less the one before. A change that bees
// cannot make in the days between, or that is marked Handled, is taken out: a
// box added, honey harvested. The rules must be complete.
//
// After the rule of the TrachtNet scales, which take out jumps above 200 g
// between readings five minutes apart; the daily bounds are our own choice.
func (r Rules) Weighed(readings []Reading) Gains {
	if len(readings) == 0 {
		return Gains{}
	}
	first := readings[0].Date
	out := Gains{Start: first, GainKg: make([]float64, readings[len(readings)-1].Date-first+1)}
	for i := 1; i < len(readings); i++ {
		a, b := readings[i-1], readings[i]
		days := int(b.Date - a.Date)
		if days <= 0 {
			continue
		}
		perDay := (b.Kg - a.Kg) / float64(days)
		switch {
		case b.Handled || perDay > r.MostGainKg || perDay < -r.MostLossKg:
			out.Jumps = append(out.Jumps, b.Date)
			continue
		case days > bridgeDays || math.IsNaN(perDay):
			continue
		case days > 1:
			out.Bridged += days - 1
		}
		for d := a.Date + 1; d <= b.Date; d++ {
			out.GainKg[d-first] = perDay
		}
	}
	return out
}
