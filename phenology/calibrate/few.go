package calibrate

import (
	"math"
	"slices"
)

// Few tells how a few years of local records have done at one place: every run
// of so many years that follow each other is fitted alone and tested on all
// other years.
type Few struct {
	Years int // of each fit
	Cases int // years tested, counted once for each fit

	RMSE     float64 // days: of the fit to the few years
	Row      float64 // days: of the table row as it stands; NaN without one
	MeanDate float64 // days: of the mean date of the few years
}

// mostRuns bounds the fits of a long record; runs are then spread evenly over
// it, and every fourth year of a record longer than longRecord is tested. Our
// own choice: neighbouring runs say almost the same.
const (
	mostRuns   = 25
	longRecord = 40
	testEvery  = 4
)

// NewFew fits each run of a number of years and tests it on the others. ok is
// false where there are not more years than that, or nothing is reached.
func NewFew(all []Year, years int, o Options) (f Few, ok bool) {
	f.Years = years
	var own, row, mean float64
	for k := 0; k+years <= len(all) && len(all) > years; k += 1 + len(all)/mostRuns {
		fit, err := New(slices.Clone(all[k:k+years]), o)
		if err != nil {
			return f, false
		}
		bare := Model{RowShare: 1}
		if o.Row != nil {
			bare.Row = *o.Row
		}
		for i, y := range all {
			if i >= k && i < k+years || i%testEvery != 0 && len(all) > longRecord {
				continue
			}
			f.Cases++
			own += square(fit.Model.off(y))
			mean += square(fit.Model.Date - y.Seen)
			if o.Row == nil {
				row = math.NaN()
				continue
			}
			row += square(bare.off(y))
		}
	}
	n := float64(f.Cases)
	f.RMSE, f.Row, f.MeanDate = math.Sqrt(own/n), math.Sqrt(row/n), math.Sqrt(mean/n)
	return f, f.Cases > 0
}

// off returns predicted minus seen, days.
func (m Model) off(y Year) float64 {
	day, ok := m.Season(y.Season)
	if !ok {
		return unreached
	}
	return day - y.Seen
}
