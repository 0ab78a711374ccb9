package calibrate

import (
	"cmp"
	"math"
	"slices"

	"bloomtide/phenology"
)

// What is believed of a plant before any year is seen: biofix about the middle
// of February, lower threshold about 3 °C, both within wide limits. Rounded from
// the rows of bloom-degree-days.csv; it keeps one odd year from choosing a
// biofix in mid-winter or a threshold that hardly any day reaches.
const (
	startUsual, startSD = 45.0, 30.0 // days after the start of the plant year
	lowerUsual, lowerSD = 3.0, 4.0   // °C

	// tempering of the likelihood: years of one place hang together and models
	// are wrong, so a year counts half. Our own choice.
	tempering = 0.5

	// leastWeight of a model, as a share of the best one's, to be kept.
	leastWeight = 0.02

	// mostKept is how many models are averaged. Our own choice.
	mostKept = 40
)

// Weighted is a model with its share in the average.
type Weighted struct {
	Stage  phenology.Stage
	Weight float64 // the weights of a set add up to 1
	at     int     // index in the search
}

// loss returns the sum of squares of a model over all years but one; without
// −1: over all.
func (s *search) loss(p, without int) float64 {
	if without < 0 {
		return s.sse[p]
	}
	e := float64(s.errs[p*s.n+without])
	return s.sse[p] - e*e
}

// doubt returns how far a model lies from what is usual, as twice the negative
// logarithm of a normal prior.
func doubt(g phenology.Stage) float64 {
	if g.Family == phenology.ShortDayTime || g.Family == phenology.ChillThenHeat {
		return square((float64(g.Clock.Thresholds.Lower) - lowerUsual) / lowerSD)
	}
	const middle = 45 // degrees: where the usual biofix was found
	d := square((float64(g.At(middle).Start) - startUsual) / startSD)
	if g.Family == phenology.SigmoidTime {
		return d
	}
	return d + square((float64(g.Clock.Thresholds.Lower)-lowerUsual)/lowerSD)
}

func square(x float64) float64 { return x * x }

// kept returns the models worth averaging by all years but one, heaviest
// first. without −1: by all years.
//
// Weights are proportional to prior × likelihood^tempering of normal errors
// with unknown spread, SSE^(−n/2).
func (s *search) kept(without int) []Weighted {
	n := float64(s.n)
	if without >= 0 {
		n--
	}
	const noise = 0.25 // d²: no date is seen better than to half a day
	score := make([]float64, len(s.sse))
	best := math.Inf(1)
	for p := range s.sse {
		score[p] = tempering*n*math.Log(max(s.loss(p, without), 0)+n*noise) + s.doubts[p]
		best = min(best, score[p])
	}
	var out []Weighted
	for p, v := range score {
		if w := math.Exp((best - v) / 2); w >= leastWeight {
			out = append(out, Weighted{s.stages[p], w, p})
		}
	}
	slices.SortStableFunc(out, func(a, b Weighted) int { return cmp.Compare(b.Weight, a.Weight) })
	out = out[:min(len(out), mostKept)]
	total := 0.0
	for _, k := range out {
		total += k.Weight
	}
	for i := range out {
		out[i].Weight /= total
	}
	return out
}
