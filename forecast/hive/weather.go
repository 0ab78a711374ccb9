package hive

import (
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// flyingRunDays in a row with flight open the year. Our own choice.
const flyingRunDays = 3

// FirstFlight returns the first day, from (inclusive) to to (exclusive), that
// opens three days in a row warm enough for flight, and to where there is none.
func (c Course) FirstFlight(from, to weather.Date) weather.Date {
	run, flight := 0, weather.Celsius(c.rules().FlightC)
	for d := from; d < to; d++ {
		if c.Season.Max[d-c.Season.Start] < flight {
			run = 0
			continue
		}
		if run++; run == flyingRunDays {
			return d - flyingRunDays + 1
		}
	}
	return to
}

// lastWithFollowing returns the last day, from (inclusive) to to (exclusive),
// that at least n later days of the range with a maximum of at least warm
// follow; ok is false where the range has too few.
func lastWithFollowing(s phenology.Season, r dayRange, warm weather.Celsius, n int) (weather.Date, bool) {
	for d := r.to - 1; d >= r.from; d-- {
		if n <= 0 {
			return d, true
		}
		if s.Max[d-s.Start] >= warm {
			n--
		}
	}
	return 0, false
}

// lastRun returns the first day of the last run of n days in a row with a
// maximum of at least warm.
func lastRun(s phenology.Season, r dayRange, warm weather.Celsius, n int) (weather.Date, bool) {
	run := 0
	for d := r.to - 1; d >= r.from; d-- {
		if s.Max[d-s.Start] < warm {
			run = 0
			continue
		}
		if run++; run == n {
			return d, true
		}
	}
	return 0, false
}

// firstColdWeek returns the first day of the first seven days in a row whose
// mean of value lies below limit.
func firstColdWeek(r dayRange, limit weather.Celsius, value func(weather.Date) weather.Celsius) (weather.Date, bool) {
	const week = 7
	for d := r.from; d+week <= r.to; d++ {
		var sum weather.Celsius
		for i := range weather.Date(week) {
			sum += value(d + i)
		}
		if sum/week < limit {
			return d, true
		}
	}
	return 0, false
}

// dayRange is from (inclusive) to to (exclusive).
type dayRange struct{ from, to weather.Date }

// within cuts the range to the days that the season has.
func (r dayRange) within(s phenology.Season) dayRange {
	return dayRange{from: max(r.from, s.Start), to: min(r.to, s.End())}
}
