package hive

import (
	"bloomtide/forecast/flow"
	"bloomtide/forecast/honey"
	"bloomtide/phenology"
)

// Setup is what the keeper has. Zero fields mean the stated default.
type Setup struct {
	BroodBox   Box // default: Langstroth deep, ten frames
	BroodBoxes int // default 2
	Super      Box // default: Langstroth medium, ten frames

	// Foragers of the colony at full strength, bees; default 20 000. Our own
	// choice: a third of a strong colony of 60 000.
	Foragers float64

	// ColoniesInReach share the same forage, the keeper's own included;
	// default 40. Our own choice: about three on each square kilometre within
	// two kilometres.
	ColoniesInReach float64
}

// WithDefaults returns the set-up with every zero field filled in. Box figures
// are those of boxes.csv in package config.
func (s Setup) WithDefaults() Setup {
	if s.BroodBox.Frames == 0 {
		s.BroodBox = Box{Name: "Langstroth deep, 10 frames", Frames: 10, CombDm2: 8.8, FullKg: 37}
	}
	if s.Super.Frames == 0 {
		s.Super = Box{Name: "Langstroth medium, 10 frames", Frames: 10, CombDm2: 5.7, FullKg: 24}
	}
	if s.BroodBoxes == 0 {
		s.BroodBoxes = 2
	}
	if s.Foragers == 0 {
		s.Foragers = 20000
	}
	if s.ColoniesInReach == 0 {
		s.ColoniesInReach = 40
	}
	return s
}

// What a colony can fetch and what it uses.
const (
	tripsPerDay = 13.0  // nectar trips of a forager on a good day; Park 1928 counts 7 to 13 and more (read)
	loadKg      = 40e-6 // a usual full load of nectar, kg (from memory)
	handling    = 0.85  // stored of what is fetched, share; our own choice in 0.8 to 0.9

	// Use of a full summer colony: 40 000 adults at 0.007 g and 8 250 open
	// brood at 0.018 g a day, kg honey a day. Khoury et al. 2013.
	useKgPerDay = (40000*0.007 + 8250*0.018) / 1000
)

// Gain returns the daily net gain of one colony, kg honey: its share of the
// supply, limited by what its foragers can carry, less what it uses.
//
//	sugarKg  nectar sugar within reach on each day of the season, kg
func (s Setup) Gain(season phenology.Season, sugarKg []float64) []float64 {
	s = s.WithDefaults()
	strength := Strength(season)
	most := honey.FromNectar(s.Foragers*tripsPerDay*loadKg, honey.NectarSugar, honey.Water)
	out := make([]float64, len(sugarKg))
	for i, kg := range sugarKg {
		fetched := 0.0
		if kg > 0 {
			weather := flow.WeatherFactor(season.Min[i], season.Max[i], season.RainMm[i])
			share := honey.FromSugar(kg) / s.ColoniesInReach * strength[i]
			fetched = min(share, most*strength[i]*weather)
		}
		out[i] = handling*fetched - useKgPerDay*strength[i]
	}
	return out
}

// The colony's year. Our own choice, to be replaced by a simulation: strength
// rises over ten weeks from the first flying weather of the plant year and
// falls from the end of summer.
const (
	winterStrength = 0.35 // of the full colony
	buildUpDays    = 70.0 // from winter strength to full
	flyingRunDays  = 3    // days in a row with flight that start the year
	declineFromDay = 240  // day of the plant year, 0 is mid-winter
	declineDays    = 60.0 // from full strength to winter strength
	yearDays       = 365
)

// Strength returns the share, 0 to 1, of a full summer colony's bees on each
// day of the season.
func Strength(s phenology.Season) []float64 {
	out := make([]float64, s.Len())
	y := phenology.YearOf(s.LatDeg, s.Start)
	for from := s.Start; from < s.End(); y++ {
		next := min(phenology.YearStart(s.LatDeg, y+1), s.End())
		first := FirstFlight(s, from, next)
		yearStart := phenology.YearStart(s.LatDeg, y)
		for d := from; d < next; d++ {
			rise := winterStrength + (1-winterStrength)*float64(d-first)/buildUpDays
			fall := 1 - (1-winterStrength)*float64(d-yearStart-declineFromDay)/declineDays
			out[d-s.Start] = min(max(min(rise, fall), winterStrength), 1)
		}
		from = next
	}
	return out
}
