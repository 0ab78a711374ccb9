package fill

import (
	"math"

	"bloomtide/ingest/weather"
)

// NearError is what refilling hidden days from neighbours shows.
type NearError struct {
	Error
	StatedMinK, StatedMaxK float64 // expected absolute error as stated beforehand, K
	Covered                float64 // share of the truth within the stated four of five
}

// ScoreNear hides runs of gap days all along a record as Score does, refills
// them from neighbours and compares: error, the error that was stated, and how
// often the stated interval held the truth.
func ScoreNear(s weather.Series, others []weather.Series, gap int, o NearOptions) NearError {
	hidden := hide(s, gap)
	_, report := Near(hidden, others, o)
	var e NearError
	var lows, highs, in int
	for _, v := range report.Estimates {
		was := s.At(v.Date)
		switch {
		case v.Element == weather.TMin && was.MinFlags == weather.Observed:
			d := math.Abs(float64(v.Value - was.Min))
			e.MinK += d
			e.StatedMinK += v.ErrorK
			lows++
			if d <= v.HalfK {
				in++
			}
		case v.Element == weather.TMax && was.MaxFlags == weather.Observed:
			d := math.Abs(float64(v.Value - was.Max))
			e.MaxK += d
			e.StatedMaxK += v.ErrorK
			highs++
			if d <= v.HalfK {
				in++
			}
		}
	}
	e.MinK /= float64(max(1, lows))
	e.MaxK /= float64(max(1, highs))
	e.StatedMinK /= float64(max(1, lows))
	e.StatedMaxK /= float64(max(1, highs))
	e.Values = lows + highs
	e.Covered = float64(in) / float64(max(1, e.Values))
	return e
}

// hide empties runs of gap days, 30 days apart.
func hide(s weather.Series, gap int) weather.Series {
	const apart = 30
	hidden := s
	hidden.Days = append([]weather.Day(nil), s.Days...)
	for i := apart; i+gap < len(hidden.Days); i += gap + apart {
		for j := i; j < i+gap; j++ {
			hidden.Days[j] = weather.Day{}
		}
	}
	return hidden
}
