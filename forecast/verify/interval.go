package verify

import (
	"math"
	"slices"
)

// Interval is a central interval of a forecast.
type Interval struct{ Low, High float64 }

// Holds reports whether a value lies inside, edges included.
func (i Interval) Holds(y float64) bool { return i.Low <= y && y <= i.High }

// Score returns the interval score of Gneiting and Raftery 2007: the width,
// and for a miss 2/α times how far off it is.
//
//	α  share outside that was promised, above 0 to 1, such as 0.2 for 80 %
//
// Unit of the values; 0 at best.
func (i Interval) Score(α, y float64) float64 {
	s := i.High - i.Low
	return s + 2/α*(max(0, i.Low-y)+max(0, y-i.High))
}

// Central returns the central interval of an ensemble that holds a share p of
// it, by Quantile. NaN for no members.
func Central(members []float64, p float64) Interval {
	x := slices.Clone(members)
	slices.Sort(x)
	return Interval{Low: sortedQuantile(x, (1-p)/2), High: sortedQuantile(x, (1+p)/2)}
}

// Quantile returns the p-quantile, 0 ≤ p ≤ 1, by linear interpolation between
// order statistics (rule 7 of Hyndman and Fan 1996, Am. Stat. 50:361, from
// memory; the default of R). NaN for no values.
func Quantile(values []float64, p float64) float64 {
	x := slices.Clone(values)
	slices.Sort(x)
	return sortedQuantile(x, p)
}

func sortedQuantile(x []float64, p float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	h := p * float64(len(x)-1)
	i := min(int(h), len(x)-1)
	j := min(i+1, len(x)-1)
	return x[i] + (h-float64(i))*(x[j]-x[i])
}

// Rank returns the place of y among members, 0 to len(members). Of the places
// that ties allow it takes the one at share u, 0 ≤ u < 1, so that a histogram
// over many cases is flat for a reliable ensemble with u drawn at random.
func Rank(members []float64, y, u float64) int {
	below, equal := 0, 0
	for _, x := range members {
		switch {
		case x < y:
			below++
		case x == y:
			equal++
		}
	}
	return below + int(u*float64(equal+1))
}
