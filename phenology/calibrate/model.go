package calibrate

import "bloomtide/phenology"

// Model predicts one stage of one plant at one place. Exactly one of these
// holds: it is the mean date, or a blend of a shifted table row and fitted
// stages, of which either may have no share.
type Model struct {
	Name     string
	Date     float64 // mean day of the plant year of the years seen
	Fixed    bool    // always Date
	Row      Row
	RowShare float64    // weight of the row, 0 to 1
	Shift    float64    // days added to the row
	Trust    float64    // share of the years' own shift that is believed
	Sets     []Weighted // fitted stages; weights add up to 1
}

// Predict returns the day of the plant year, 0 for its first, with a whole
// number at noon. What a model's stages do not reach is left out of the
// average; ok is false where none is reached.
//
//	rates  the daily columns of a stage for the season in question
func (m Model) Predict(rates func(phenology.Stage) phenology.Rates) (day float64, ok bool) {
	if m.Fixed {
		return m.Date, true
	}
	sum, weight := 0.0, 0.0
	if m.RowShare > 0 {
		if d, ok := m.Row.day(rates(m.Row.Stage)); ok {
			sum, weight = m.RowShare*(d+m.Shift), m.RowShare
		}
	}
	var buf []float64
	for _, k := range m.Sets {
		buf = k.Stage.Progress(rates(k.Stage), buf)
		if d, ok := phenology.Cross(buf, k.Stage.Need); ok {
			w := (1 - m.RowShare) * k.Weight
			sum += w * d
			weight += w
		}
	}
	if weight == 0 {
		return 0, false
	}
	return sum / weight, true
}

// Season predicts a whole season that starts phenology.LeadIn days before the
// plant year.
func (m Model) Season(s phenology.Season) (day float64, ok bool) {
	seen := map[phenology.Stage]phenology.Rates{}
	return m.Predict(func(g phenology.Stage) phenology.Rates {
		key := g.RatesKey()
		r, ok := seen[key]
		if !ok {
			r = g.Rates(s, nil)
			seen[key] = r
		}
		return r
	})
}
