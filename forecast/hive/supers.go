package hive

import (
	"math"

	"bloomtide/forecast/colony"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
)

const (
	lookAhead = 3  // days of coming gain to make room for; our own choice
	maxSupers = 12 // a stack beyond reason: the count stops here
)

// supers returns the day each super goes on for the year's crops, earliest
// first. The first goes on before the first flow. Another follows when the
// comb in use three days on would pass two thirds of what is there. A
// short-sharp flow leaves no time for that, so what it needs goes on before it.
// Supers emptied by a harvest go back and serve the next crop.
func (c Course) supers(crops []flow.Flow) []weather.Date {
	days := []weather.Date{crops[0].Start - SuperBeforeDays}
	for _, f := range crops {
		n := len(days)
		days = c.addSupers(days, f)
		if f.Shape != flow.ShortSharp {
			continue
		}
		for i := n; i < len(days); i++ {
			days[i] = max(f.Start-SuperBeforeDays, days[n-1])
		}
	}
	return days
}

// addSupers appends the days on which a crop asks for more supers than there
// are.
func (c Course) addSupers(days []weather.Date, f flow.Flow) []weather.Date {
	area := c.Setup.Super.AreaDm2()
	stop := f.End
	if last := f.End - StopAddingDays; last > f.Start && f.Shape != flow.ShortSharp {
		stop = last
	}
	for d := f.Start; d <= stop; d++ {
		use := c.CombDm2(f.Start, min(d+lookAhead, f.End))
		if d == stop { // the last chance: room for all that is still to come
			use = max(use, c.CombDm2(f.Start, f.End))
		}
		for use > area*float64(len(days)) && len(days) < maxSupers {
			days = append(days, d)
		}
	}
	return days
}

// CombDm2 returns the comb above the excluder that holds honey and ripening
// nectar at the end of day d when gathering began on day from, dm². Both days
// lie in the season.
func (c Course) CombDm2(from, d weather.Date) float64 { return c.combDm2(from, d, UnripeDm2) }

// SqueezedDm2 is CombDm2 where bees have no room to spread the nectar.
func (c Course) SqueezedDm2(from, d weather.Date) float64 { return c.combDm2(from, d, SqueezedDm2) }

// combDm2 reckons nectar that is not ripe by a rule for its comb.
func (c Course) combDm2(from, d weather.Date, nectar func(kg float64, t colony.Tuning) float64) float64 {
	t := c.Setup.Tuning
	ripe, fresh := 0.0, 0.0
	for x := max(from, c.Season.Start); x <= d; x++ {
		gain := t.UpShare * max(c.GainKg[x-c.Season.Start], 0)
		if x > d-weather.Date(math.Ceil(t.UnripeDays)) {
			fresh += gain
		} else {
			ripe += gain
		}
	}
	return ripe/t.HoneyKgPerDm2 + nectar(fresh, t)
}
