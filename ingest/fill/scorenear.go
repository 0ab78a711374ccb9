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

// folds is into how many parts ScoreNear divides a record: our choice, so that
// four fifths of it stay to learn from, as most records have.
const folds = 5

// ScoreNear hides a fifth of a record at a time, in runs of gap days, refills it
// from neighbours and compares: error, the error that was stated, and how often
// the stated interval held the truth. In the end every day has been hidden once.
func ScoreNear(s weather.Series, others []weather.Series, gap int, o NearOptions) NearError {
	var t nearTally
	for fold := range folds {
		_, report := Near(hide(s, gap, fold), others, o)
		for _, v := range report.Estimates {
			was := s.At(v.Date)
			switch {
			case v.Element == weather.TMin && was.MinFlags == weather.Observed:
				t.low.add(v, was.Min)
			case v.Element == weather.TMax && was.MaxFlags == weather.Observed:
				t.high.add(v, was.Max)
			}
		}
	}
	e := NearError{StatedMinK: t.low.mean(t.low.stated), StatedMaxK: t.high.mean(t.high.stated)}
	e.MinK, e.MaxK = t.low.mean(t.low.off), t.high.mean(t.high.off)
	e.Values = t.low.n + t.high.n
	e.Covered = float64(t.low.in+t.high.in) / float64(max(1, e.Values))
	return e
}

// nearTally counts the errors of both extremes.
type nearTally struct{ low, high extremeTally }

// extremeTally counts those of one.
type extremeTally struct {
	off, stated float64 // sums, K
	n, in       int     // values, and those within the stated four of five
}

func (t *extremeTally) add(v Estimate, truth weather.Celsius) {
	d := math.Abs(float64(v.Value - truth))
	t.off += d
	t.stated += v.ErrorK
	t.n++
	if d <= v.HalfK {
		t.in++
	}
}

func (t *extremeTally) mean(sum float64) float64 { return sum / float64(max(1, t.n)) }

// hide empties every fifth run of gap days, beginning with the run of a fold.
func hide(s weather.Series, gap, fold int) weather.Series {
	hidden := s
	hidden.Days = append([]weather.Day(nil), s.Days...)
	for i := fold * gap; i < len(hidden.Days); i += folds * gap {
		clear(hidden.Days[i:min(i+gap, len(hidden.Days))])
	}
	return hidden
}
