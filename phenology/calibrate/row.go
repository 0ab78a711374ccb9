package calibrate

import "bloomtide/phenology"

// Row is what the forage table says of a stage before anything is seen here.
type Row struct {
	Stage   phenology.Stage // thermal time with the table's biofix, thresholds and need, or a fixed date
	AddDays float64         // days after the stage: those of a row in days, and full bloom where the table has only the first
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
	if m.Onset == 0 {
		return fixedRow(m, stage)
	}
	const anyYear = 2001 // not a leap year
	g := phenology.Stage{
		Family: familyOf(m.Clock.Light), Clock: m.Clock, Need: float64(m.Onset),
		Start: int(m.Biofix.In(latDeg, anyYear) - phenology.YearStart(latDeg, anyYear)),
	}
	r := Row{Stage: g, AddDays: m.AfterDays}
	switch stage {
	case "full", "peak":
		if r.Stage.Need = float64(m.Peak); m.Peak <= m.Onset {
			r.Stage.Need, r.AddDays = float64(m.Onset), m.AfterDays+m.BloomDays/2
		}
	case "end":
		if r.Stage.Need = float64(m.End); m.End <= m.Onset {
			r.Stage.Need, r.AddDays = float64(m.Onset), m.AfterDays+m.BloomDays
		}
	}
	const usualHeat = 10 // °C·d a day about bloom (own round figure of mid-spring)
	r.SDDays = min(max(m.RelativeSD*(r.Stage.Need/usualHeat+m.AfterDays), leastRowSD), mostRowSD)
	return r
}

// fixedRow is a row with the same date every year: days of the plant year count
// one each, and half of one lies before its noon.
func fixedRow(m phenology.Model, stage string) Row {
	r := Row{Stage: phenology.Stage{Family: phenology.FixedDate, Need: m.AfterDays + 0.5}}
	switch stage {
	case "full", "peak":
		r.AddDays = m.BloomDays / 2
	case "end":
		r.AddDays = m.BloomDays
	}
	r.SDDays = min(max(m.RelativeSD*m.AfterDays, leastRowSD), mostRowSD)
	return r
}

// familyOf is the family of degree days that light weighs.
func familyOf(l phenology.Light) phenology.Family {
	switch {
	case l.Longest > 0:
		return phenology.ShortDayTime
	case l.Exponent != 0:
		return phenology.LightTime
	}
	return phenology.ThermalTime
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
