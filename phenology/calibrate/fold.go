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
	shares, r := s.shares(out)
	for _, k := range shares {
		if e := s.errOf(k, r, year); e != unreached {
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
	at     int // after the last model of the grid: the one between its points
}

// kept returns the models worth averaging by all years but those left out,
// heaviest first.
func (s *search) kept(without []int) []Weighted {
	var out []Weighted
	shares, r := s.shares(without)
	for _, k := range shares {
		if k.at == len(s.stages) {
			out = append(out, Weighted{r.stage, k.weight})
			continue
		}
		out = append(out, Weighted{s.stages[k.at], k.weight})
	}
	return out
}

// errOf is the error of a model in a year, days; r is the one that shares found
// between the points of the grid.
func (s *search) errOf(k share, r *refined, year int) float32 {
	if k.at == len(s.stages) {
		return r.errs[year]
	}
	return s.errs[k.at*s.n+year]
}

// weigh returns twice the negative logarithm of prior × likelihood^tempering of
// normal errors with unknown spread, SSE^(−n/2); least is best.
//
//	loss   sum of squares over the years, d²
//	n      years
//	doubt  see doubt
func weigh(loss float64, n int, doubt float64) float64 {
	const noise = 0.25 // d²: no date is seen better than to half a day
	return tempering*float64(n)*math.Log(max(loss, 0)+float64(n)*noise) + doubt
}

// shares is kept by index alone, with the model between the points of the grid
// where one does better than they. That lies in the cell for which the best point
// stands and so weighs no more than it: by its own loss it would weigh the more
// the fewer years it was drawn to.
func (s *search) shares(without []int) ([]share, *refined) {
	n := s.n - len(without)
	score := make([]float64, len(s.sse), len(s.sse)+1)
	best, at := math.Inf(1), 0
	for p := range s.sse {
		score[p] = weigh(s.loss(p, without), n, s.doubts[p])
		if score[p] < best {
			best, at = score[p], p
		}
	}
	r := s.refine(s.stages[at], best, without)
	if r != nil {
		score = append(score, best)
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
	return out, r
}
