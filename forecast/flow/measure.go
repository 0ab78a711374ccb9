package flow

import "slices"

// Total returns the sum of the gains above 0, kg.
func Total(gainKg []float64) float64 {
	sum := 0.0
	for _, g := range gainKg {
		sum += max(g, 0)
	}
	return sum
}

// EffectiveDays returns how many days an even flow of the same total would
// need to be as concentrated, days: the inverse Simpson index, or Hill number
// of order 2, of the daily gains.
//
//	N = T² / Σg²   over g > 0
//
// An even flow of n days gives n, a triangle over D days three quarters of D,
// no gain 0. Hill 1973.
func EffectiveDays(gainKg []float64) float64 {
	squares := 0.0
	for _, g := range gainKg {
		squares += max(g, 0) * max(g, 0)
	}
	if squares == 0 {
		return 0
	}
	t := Total(gainKg)
	return t * t / squares
}

// BestWeekShare returns the largest share of the total that falls into seven
// days in a row, 0 to 1.
func BestWeekShare(gainKg []float64) float64 {
	const week = 7
	total := Total(gainKg)
	if total == 0 {
		return 0
	}
	best := 0.0
	for i := range gainKg {
		best = max(best, Total(gainKg[i:min(i+week, len(gainKg))]))
	}
	return best / total
}

// DaysHolding returns the least number of days that together hold a share, 0
// to 1, of the total.
func DaysHolding(gainKg []float64, share float64) int {
	const slack = 1e-9 // of the total, so that rounding does not cost a day
	need := share * Total(gainKg) * (1 - slack)
	best := slices.Clone(gainKg)
	slices.SortFunc(best, func(a, b float64) int {
		if a > b {
			return -1
		}
		return 1
	})
	for i, sum := 0, 0.0; i < len(best); i++ {
		if sum >= need {
			return i
		}
		sum += max(best[i], 0)
	}
	return len(best)
}

// Shape is the class of a flow by its effective days.
type Shape string

// The shapes. The words are our own choice, the cut-offs stand in Rules.
const (
	ShortSharp Shape = "short-sharp"
	Middling   Shape = "middling"
	SlowSteady Shape = "slow-steady"
)

// ShapeOf returns the class of a flow with so many effective days, by the
// default rules.
func ShapeOf(effectiveDays float64) Shape { return DefaultRules().ShapeOf(effectiveDays) }

// ShapeOf returns the class of a flow with so many effective days. The rules
// must be complete.
func (r Rules) ShapeOf(effectiveDays float64) Shape {
	switch {
	case effectiveDays <= r.ShortSharpDays:
		return ShortSharp
	case effectiveDays >= r.SlowSteadyDays:
		return SlowSteady
	default:
		return Middling
	}
}

// Gini returns how unevenly the gains fall on the days of a window: 0 for
// equal days, near 1 for one day among many. It depends on the length of the
// window, so only windows of one length compare.
//
//	Σ (2i − n − 1) g(i) / (n T)   over ascending g(i), losses as 0
//
// Gini 1912, as usually computed (from memory).
func Gini(gainKg []float64) float64 {
	total := Total(gainKg)
	if total == 0 {
		return 0
	}
	sorted := make([]float64, len(gainKg))
	for i, g := range gainKg {
		sorted[i] = max(g, 0)
	}
	slices.Sort(sorted)
	n, sum := float64(len(sorted)), 0.0
	for i, g := range sorted {
		sum += (2*float64(i+1) - n - 1) * g
	}
	return sum / (n * total)
}
