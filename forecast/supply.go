package forecast

import (
	"slices"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/honey"
)

// relativeTopKg is the gain on the best three days of the middle member when
// the cover of the stands is not known, kg/d: in the middle of the strong
// flows of hive scales. Our own choice; it sets dates, and no kilogram that
// follows from it is shown.
const relativeTopKg = 3.0

// courses lets the colony live through every member.
func courses(a Apiary, e Ensemble, t bloomTable) []hive.Course {
	sugar, _ := supplies(a, e, t)
	a.Setup.Log.Upto, a.Setup.ShapeOnly = e.Issue, a.Relative
	out := make([]hive.Course, len(e.Members))
	for i, m := range e.Members {
		out[i] = hive.NewCourse(a.Setup, m.Season, sugar[i])
	}
	return out
}

// supplies returns the sugar within reach on each day of every member, kg, and
// the factor by which it was brought to the scale of a known cover.
func supplies(a Apiary, e Ensemble, t bloomTable) (sugar [][]float64, scale float64) {
	rules := a.Setup.Rules.WithDefaults()
	if a.Relative {
		a.Stands = alike(a)
	}
	sugar = make([][]float64, len(e.Members))
	for i, m := range e.Members {
		sugar[i] = rules.Supply(m.Season, growing(a, t, i))
	}
	if !a.Relative {
		return sugar, 1
	}
	return sugar, scaleTo(sugar, topSugar(a.Setup))
}

// alike gives every stand the cover with which its bloom yields the same sugar
// over a season, 1 kg, so that no plant outweighs another for want of knowledge.
func alike(a Apiary) []flow.Stand {
	out := make([]flow.Stand, 0, len(a.Stands))
	for _, s := range a.Stands {
		p := a.plant(s.Plant)
		if p < 0 || s.PeakKgPerHaDay <= 0 || a.Plants[p].BloomDays <= 0 {
			continue
		}
		s.Hectares = 1 / (s.PeakKgPerHaDay * a.Plants[p].BloomDays / 2)
		out = append(out, s)
	}
	return out
}

// growing pairs each stand with its blooms in member i.
func growing(a Apiary, t bloomTable, i int) []flow.Growing {
	var out []flow.Growing
	for _, s := range a.Stands {
		p := a.plant(s.Plant)
		if p < 0 {
			continue
		}
		for _, y := range t.blooms[p][i] {
			if y.ok {
				out = append(out, flow.Growing{Stand: s, Bloom: y.bloom})
			}
		}
	}
	return out
}

// plant returns the index of a plant by name, -1 for none.
func (a Apiary) plant(name string) int {
	for i, m := range a.Plants {
		if m.Plant == name {
			return i
		}
	}
	return -1
}

// topSugar returns the sugar within reach that gives a colony relativeTopKg, kg/d.
func topSugar(s hive.Setup) float64 {
	return relativeTopKg * (1 - honey.Water) * s.WithDefaults().ColoniesInReach
}

// scaleTo multiplies all supplies so that the best smoothed day of the middle
// member is top, and returns the factor.
func scaleTo(sugar [][]float64, top float64) float64 {
	best := make([]float64, len(sugar))
	for i, s := range sugar {
		best[i] = slices.Max(flow.Smooth(s))
	}
	mid := Median(best)
	if mid <= 0 {
		return 1
	}
	for _, s := range sugar {
		for i := range s {
			s[i] *= top / mid
		}
	}
	return top / mid
}
