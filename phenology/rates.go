package phenology

import "bloomtide/ingest/weather"

// dateOf turns a number of days into a span that can be added to a Date.
func dateOf(days int) weather.Date { return weather.Date(days) }

// DailyChill returns the chill portions that each day of a season adds, by the
// Dynamic model on Linvill's hours. The season's first hour starts the winter.
func DailyChill(s Season) []float64 {
	out := make([]float64, s.Len())
	var d Dynamic
	for i := range out {
		for _, t := range Linvill(s.hours(i)) {
			out[i] += d.Portion(t)
		}
	}
	return out
}

// hours gathers what Linvill's curve needs of day i. The first and the last day
// stand in for the neighbours that they lack.
func (s Season) hours(i int) HoursOf {
	before := max(i-1, 0)
	e := s.Extremes(i)
	light := func(j int) float64 { return Daylength(s.LatDeg, (s.Start + dateOf(j)).DayOfYear(), TopOfDisc) }
	return HoursOf{
		Min: float64(e.Min), Max: float64(e.Max), NextMin: float64(e.NextMin), Light: light(i),
		PrevMin: float64(s.Min[before]), PrevMax: float64(s.Max[before]), PrevLight: light(before),
	}
}
