package forecast

import (
	"math"

	"bloomtide/forecast/verify"
)

// dressings is how many values stand for the residuals of a model. Our own
// choice.
const dressings = 15

// residuals returns what to add to a predicted day so that it carries the
// model's own error: minus the errors of the other years, evenly thinned, or
// evenly spaced quantiles of a normal distribution where there are few.
//
// All combinations with the members are formed, PHENOLOGY section 5.1, step 4.
func (h *hindcaster) residuals(i int) []float64 {
	if h.o.Weather || h.years[i].Model.Fixed {
		return []float64{0}
	}
	var e []float64
	for j, y := range h.years {
		if j != i {
			e = append(e, -y.Error)
		}
	}
	const few = 5
	out := make([]float64, dressings)
	for k := range out {
		p := (float64(k) + 0.5) / dressings
		if len(e) >= few {
			out[k] = verify.Quantile(e, p) * spreadOf(len(e))
			continue
		}
		const yearSD = 5 // days; see package calibrate
		out[k] = yearSD * math.Sqrt(1+1/float64(len(e)+1)) * math.Sqrt2 * math.Erfinv(2*p-1)
	}
	return out
}

// spreadOf widens residuals for how few they are: quantiles between order
// statistics fall short of the true ones by about this much.
func spreadOf(n int) float64 { return math.Sqrt(float64(n+1) / float64(n-1)) }

// dress adds every residual to every member.
func dress(members, residuals []float64) []float64 {
	out := make([]float64, 0, len(members)*len(residuals))
	for _, m := range members {
		for _, r := range residuals {
			out = append(out, m+r)
		}
	}
	return out
}

// blends are the shares of the model tried, the rest being climatology.
func blends() []float64 { return []float64{1, 0.5, 0} }

// mixed returns an ensemble of which about a share comes from the model.
func mixed(model, climate []float64, share float64) []float64 {
	switch {
	case share >= 1 || len(climate) < 2:
		return model
	case share <= 0 || len(model) == 0:
		return climate
	}
	// Repeat the climatology until both weigh alike.
	out := append([]float64(nil), model...)
	for range max(1, int(math.Round(float64(len(model))/float64(len(climate))))) {
		out = append(out, climate...)
	}
	return out
}

// lead scores all years at one lead time. How much of the climatology is
// blended in is decided for each year by the scores of the others.
func (h *hindcaster) lead(days, issue int) Lead {
	n := len(h.years)
	ensembles := make([][3][]float64, n)
	scores := make([][3]float64, n)
	for i := range h.years {
		model := dress(h.ensemble(i, issue), h.residuals(i))
		climate := h.otherDates(i)
		for b, share := range blends() {
			ensembles[i][b] = mixed(model, climate, share)
			scores[i][b] = score(ensembles[i][b], h.years[i].Seen)
		}
	}
	chosen := make([][]float64, n)
	for i := range h.years {
		best := 0
		if !h.o.Weather && n > fewToBlend {
			best = leastWithout(scores, i)
		}
		chosen[i] = ensembles[i][best]
	}
	ratios := make([]float64, n)
	for i, members := range chosen {
		ratios[i] = reach(members, h.years[i].Seen)
	}
	var cases []hindcast
	for i, y := range h.years {
		if members := h.stretched(chosen[i], ratios, i); len(members) > 0 {
			cases = append(cases, newHindcast(members, y.Seen, h.otherDates(i)))
		}
	}
	l := summary(cases)
	l.Days, l.Issue, l.latDeg = days, float64(issue), h.lat
	return l
}

// stretched returns the ensemble of year i, widened or narrowed about its
// median until intervals made so would have held the promised share of the
// other years. The fewer years there are, the less it is stretched.
//
// The quantile is that of split conformal prediction (Vovk, Gammerman and
// Shafer 2005, from memory).
func (h *hindcaster) stretched(members, ratios []float64, i int) []float64 {
	const most, least, yearsOfDoubt = 2, 0.7, 10 // our own choices
	if h.o.Weather || len(members) == 0 {
		return members
	}
	var others []float64
	for j, r := range ratios {
		if j != i && !math.IsNaN(r) {
			others = append(others, r)
		}
	}
	n := float64(len(others))
	if n == 0 {
		return members
	}
	k := verify.Quantile(others, min(1, promised*(n+1)/n))
	k = min(max((n*k+yearsOfDoubt)/(n+yearsOfDoubt), least), most)
	middle := verify.Quantile(members, 0.5)
	out := make([]float64, len(members))
	for m, v := range members {
		out[m] = middle + k*(v-middle)
	}
	return out
}

// reach returns how far y lies from the median as a share of the way to the
// end of the central interval on its side, NaN without members.
func reach(members []float64, y float64) float64 {
	c, middle := verify.Central(members, promised), verify.Quantile(members, 0.5)
	side := c.High - middle
	if y < middle {
		side = middle - c.Low
	}
	const narrow = 0.5 // days: no interval is narrower
	return math.Abs(y-middle) / max(side, narrow)
}

// fewToBlend: with fewer years the model is taken as it is. Our own choice.
const fewToBlend = 5

// score is the fair CRPS, or the plain one of a single member.
func score(members []float64, y float64) float64 {
	if len(members) < 2 {
		return verify.CRPS(members, y)
	}
	return verify.FairCRPS(members, y)
}

// leastWithout returns the blend that scored best over all years but one. The
// model is taken where nothing beats it.
func leastWithout(scores [][3]float64, without int) int {
	var sum [3]float64
	for i, s := range scores {
		if i == without {
			continue
		}
		for b, v := range s {
			sum[b] += v
		}
	}
	best := 0
	for b, v := range sum {
		if v < sum[best] {
			best = b
		}
	}
	return best
}
