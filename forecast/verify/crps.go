package verify

import (
	"math"
	"slices"
)

// CRPS returns the continuous ranked probability score of an ensemble taken as
// it is: the integral of the squared distance between its step function and
// that of the observation.
//
//	members  values of the ensemble, at least one
//	y        what was observed, same unit
//
// Unit of the values; 0 is perfect, greater is worse; |x−y| for one member, NaN
// for none. Computed from the sorted members in n log n.
//
//	(2/m) Σ [1{y ≤ x(i)} − (2i−1)/(2m)] (x(i) − y)
//
// Gneiting and Raftery 2007.
func CRPS(members []float64, y float64) float64 {
	if len(members) == 0 {
		return math.NaN()
	}
	distance, spread := crpsParts(members, y)
	m := float64(len(members))
	return distance - spread/(2*m*m)
}

// FairCRPS returns the score that an ensemble of endless size with the same
// climate would be given, so that ensembles of different size can be compared.
// It needs two members, else NaN. It may fall below 0 for a single case.
//
//	(1/m) Σ|x−y| − 1/(2m(m−1)) ΣΣ|x−x′|
//
// Ferro, Richardson and Weigel 2008; Ferro 2014.
func FairCRPS(members []float64, y float64) float64 {
	if len(members) < 2 {
		return math.NaN()
	}
	distance, spread := crpsParts(members, y)
	m := float64(len(members))
	return distance - spread/(2*m*(m-1))
}

// crpsParts returns the mean distance of the members from y and the sum of the
// distances of all ordered pairs of members.
func crpsParts(members []float64, y float64) (distance, spread float64) {
	x := slices.Clone(members)
	slices.Sort(x)
	m := float64(len(x))
	for i, v := range x {
		distance += math.Abs(v-y) / m
		spread += 2 * v * (2*float64(i) - m + 1)
	}
	return distance, spread
}

// WeightedCRPS returns CRPS of members with weights, which need not add up to
// one.
//
//	Σ w|x−y| − ½ ΣΣ w w′|x−x′|, Σw = 1
//
// NaN where there is no weight or the lengths differ.
// Gneiting and Raftery 2007.
func WeightedCRPS(members, weights []float64, y float64) float64 {
	distance, spread, _ := weightedParts(members, weights, y)
	return distance - spread
}

// WeightedFairCRPS is FairCRPS of members with weights: the second term is
// divided by 1 − Σw². NaN where fewer than two members have weight.
func WeightedFairCRPS(members, weights []float64, y float64) float64 {
	distance, spread, squares := weightedParts(members, weights, y)
	if !(squares < 1) {
		return math.NaN()
	}
	return distance - spread/(1-squares)
}

// weightedParts returns Σw|x−y|, ½ΣΣww′|x−x′| and Σw² with weights that add up
// to one.
func weightedParts(members, weights []float64, y float64) (distance, spread, squares float64) {
	total := 0.0
	for _, w := range weights {
		total += w
	}
	if len(members) != len(weights) || !(total > 0) {
		return math.NaN(), math.NaN(), math.NaN()
	}
	for i, x := range members {
		w := weights[i] / total
		distance += w * math.Abs(x-y)
		squares += w * w
		for j := range i {
			spread += w * weights[j] / total * math.Abs(x-members[j])
		}
	}
	return distance, spread, squares
}

// NormalCRPS returns the score of a normal distribution.
//
//	mean, sd  of the distribution, sd above 0; sd 0 gives |mean−y|
//
//	σ [z(2Φ(z)−1) + 2φ(z) − 1/√π], z = (y−μ)/σ
//
// Gneiting and Raftery 2007.
func NormalCRPS(mean, sd, y float64) float64 {
	if sd == 0 {
		return math.Abs(mean - y)
	}
	z := (y - mean) / sd
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	return sd * (z*math.Erf(z/math.Sqrt2) + 2*density - 1/math.Sqrt(math.Pi))
}
