package fill

import (
	"math"

	"bloomtide/ingest/weather"
)

// Error is what refilling hidden days shows, K.
type Error struct {
	MinK, MaxK float64 // mean absolute error of the minimum and of the maximum
	Values     int     // values hidden and refilled
}

// Score hides runs of gap days all along a record, fills them and compares. It
// is the error to expect of an estimate in a gap of that length. Between two
// runs stay at least 30 days.
func Score(s weather.Series, gap int, o Options) Error {
	const apart = 30
	hidden := s
	hidden.Days = append([]weather.Day(nil), s.Days...)
	for i := apart; i+gap < len(hidden.Days); i += gap + apart {
		for j := i; j < i+gap; j++ {
			hidden.Days[j] = weather.Day{}
		}
	}
	refilled, _ := Series(hidden, o)
	var e Error
	var lows, highs int
	for i, was := range s.Days {
		now := refilled.Days[i]
		if was.MinFlags == weather.Observed && hidden.Days[i].MinFlags == 0 && now.MinFlags.Usable() {
			e.MinK += math.Abs(float64(now.Min - was.Min))
			lows++
		}
		if was.MaxFlags == weather.Observed && hidden.Days[i].MaxFlags == 0 && now.MaxFlags.Usable() {
			e.MaxK += math.Abs(float64(now.Max - was.Max))
			highs++
		}
	}
	e.MinK /= float64(max(1, lows))
	e.MaxK /= float64(max(1, highs))
	e.Values = lows + highs
	return e
}
