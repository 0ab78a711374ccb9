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
}

// loss returns the sum of squares of a model over all years but those left out.
func (s *search) loss(p int, out []int) float64 {
	loss := s.sse[p]
	for _, i := range out {
		e := float64(s.errs[p*s.n+i])
		loss -= e * e
	}
	return loss
}

// miss returns the error in one year of the models kept without some years:
// their weighted mean, of those that are reached.
func (s *search) miss(year int, out []int) float64 {
	sum, weight := 0.0, 0.0
	for _, k := range s.shares(out) {
		if e := s.errs[k.at*s.n+year]; e != unreached {
			sum += k.weight * float64(e)
			weight += k.weight
		}
	}
	if weight == 0 {
		return unreached
	}
	return sum / weight
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

// share is the share of one model of the search in the average.
type share struct {
	weight float64
	at     int
}

// kept returns the models worth averaging by all years but those left out,
// heaviest first.
func (s *search) kept(without []int) []Weighted {
	var out []Weighted
	for _, k := range s.shares(without) {
		out = append(out, Weighted{s.stages[k.at], k.weight})
	}
	return out
}

// shares is kept by index alone.
//
// Weights are proportional to prior × likelihood^tempering of normal errors
// with unknown spread, SSE^(−n/2).
func (s *search) shares(without []int) []share {
	n := float64(s.n - len(without))
	const noise = 0.25 // d²: no date is seen better than to half a day
	score := make([]float64, len(s.sse))
	best := math.Inf(1)
	for p := range s.sse {
		score[p] = tempering*n*math.Log(max(s.loss(p, without), 0)+n*noise) + s.doubts[p]
		best = min(best, score[p])
	}
	worst := best - 2*math.Log(leastWeight)
	var out []share
	for p, v := range score {
		if v <= worst {
			out = append(out, share{math.Exp((best - v) / 2), p})
		}
	}
	slices.SortFunc(out, func(a, b share) int {
		return cmp.Or(cmp.Compare(b.weight, a.weight), cmp.Compare(a.at, b.at))
	})
	out = out[:min(len(out), mostKept)]
	total := 0.0
	for _, k := range out {
		total += k.weight
	}
	for i := range out {
		out[i].weight /= total
	}
	return out
}
