package calibrate

import (
	"math"

	"bloomtide/phenology"
)

// TableRow is a fit in the form that a forage table can hold: thermal time.
type TableRow struct {
	Stage      phenology.Stage // thermal time with biofix, thresholds, need and the weight of light
	RelativeSD float64         // the fit's error as a share of the need
	RMSE       float64         // of such rows in years not seen, days
}

// ForTable returns the fit as thermal time, the one family that a forage table
// holds: the heaviest model of degree days, or the shifted row with the need at
// which it comes as much later. ok is false where the fit has neither. Where the
// mean date was better it is FixedDate, whose need is the day of the plant year.
func (f Fit) ForTable() (t TableRow, ok bool) {
	switch {
	case f.Model.Fixed && len(f.Years) >= fewYears:
		t.Stage = phenology.Stage{Family: phenology.FixedDate, Need: f.Model.Date}
		t.RMSE = math.Sqrt(meanSquare(f.MeanDate, -1))
		t.RelativeSD = t.RMSE / t.Stage.Need
		return t, t.Stage.Need > 0
	case f.Model.Fixed:
		return t, false
	case f.Thermal != nil:
		t.Stage = *f.Thermal
	case f.Model.RowShare > 0:
		if t.Stage = f.Model.Row.Stage; t.Stage.Family == phenology.FixedDate {
			t.Stage.Need = f.Model.Row.Stage.Need - 0.5 + f.Model.Row.AddDays + f.Model.Shift
			t.RMSE = math.Sqrt(meanSquare(f.Errors, -1))
			t.RelativeSD = t.RMSE / t.Stage.Need
			return t, t.Stage.Need > 0
		}
		t.Stage.Need = f.HeatAt(t.Stage, func(y Year) float64 {
			day, reached := f.Model.Season(y.Season)
			if !reached {
				return y.Seen
			}
			return day
		})
	default:
		return t, false
	}
	t.RMSE = f.rowError()
	perDay := f.HeatAt(t.Stage, func(y Year) float64 { return y.Seen + 1 }) - f.HeatAt(t.Stage, func(y Year) float64 { return y.Seen - 1 })
	t.RelativeSD = t.RMSE * perDay / 2 / t.Stage.Need
	return t, t.Stage.Need > 0
}

// rowError is the error of the family that the row is of, which may be another
// than the one chosen; of a shifted row that of the whole procedure.
func (f Fit) rowError() float64 {
	for _, s := range f.Scores {
		if f.Thermal != nil && s.Name == f.Thermal.Family.String() {
			return s.RMSE
		}
	}
	return math.Sqrt(meanSquare(f.Errors, -1))
}

// HeatAt returns what a stage has come to on a day of each year, the mean over
// the years of the fit.
func (f Fit) HeatAt(g phenology.Stage, day func(Year) float64) float64 {
	sum := 0.0
	for _, y := range f.Years {
		sum += phenology.NeedAt(g.Progress(g.Rates(y.Season, nil), nil), day(y)) / float64(len(f.Years))
	}
	return sum
}
