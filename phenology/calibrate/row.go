package calibrate

import "bloomtide/phenology"

// Row is what the forage table says of a stage before anything is seen here.
type Row struct {
	Stage   phenology.Stage // thermal time with the table's biofix, thresholds and need
	AddDays float64         // days after the stage: full bloom where the table has only the first
	SDDays  float64         // doubt of the row in another place, days; 0: rowSD
}

// Doubts about a table row and about a year. A published figure used in another
// place is 7 to 12 days off, a fitted model at one place 3 to 5 (PHENOLOGY
// section 4.5, estimates from its accuracy table).
const (
	rowSD  = 6.0 // days between places; on open records less shrinking than 8 does better
	yearSD = 5.0 // days between years

	leastRowSD, mostRowSD = 4.0, 20.0
)

// NewRow returns what a model of the forage table says of first, full or end
// of bloom, for a place at a latitude.
func NewRow(m phenology.Model, stage string, latDeg float64) Row {
	const anyYear = 2001 // not a leap year
	g := phenology.Stage{
		Family: phenology.ThermalTime, Clock: m.Clock, Need: float64(m.Onset),
		Start: int(m.Biofix.In(latDeg, anyYear) - phenology.YearStart(latDeg, anyYear)),
	}
	r := Row{Stage: g}
	switch stage {
	case "full", "peak":
		if r.Stage.Need = float64(m.Peak); m.Peak <= m.Onset {
			r.Stage.Need, r.AddDays = float64(m.Onset), m.BloomDays/2
		}
	case "end":
		if r.Stage.Need = float64(m.End); m.End <= m.Onset {
			r.Stage.Need, r.AddDays = float64(m.Onset), m.BloomDays
		}
	}
	const usualHeat = 10 // °C·d a day about bloom (own round figure of mid-spring)
	r.SDDays = min(max(m.RelativeSD*r.Stage.Need/usualHeat, leastRowSD), mostRowSD)
	return r
}

// day returns the day that the row predicts.
func (r Row) day(rates phenology.Rates) (day float64, ok bool) {
	day, ok = phenology.Cross(r.Stage.Progress(rates, nil), r.Stage.Need)
	return day + r.AddDays, ok
}

// trust returns the share of the years' own shift that is believed after n
// years, 0 to 1, and the doubt that remains about the shift, days.
//
//	w = (n/σ²) / (n/σ² + 1/τ²)
//
// Normal mean with a normal prior, Gelman et al. 2013.
func (r Row) trust(n float64) float64 {
	τ := r.SDDays
	if τ == 0 {
		τ = rowSD
	}
	return Shrink(Prior{Mean: 0, SD: τ}, Sample{Mean: 0, SD: yearSD, N: n}).Trust
}
