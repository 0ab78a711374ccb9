package forecast

import (
	"fmt"
	"math"

	"bloomtide/forecast/hive"
)

// SetUpComparison sets hive set-ups at one place side by side.
type SetUpComparison struct {
	Results []Result

	// What differs and which of them to take, in plain words.
	Differs []hive.Reason
	Advice  hive.Reason
}

// mostBound is the share of years in which a set-up may still be honey-bound
// and count as one that keeps the nest free: one in ten. Our own choice.
const mostBound = 0.1

// CompareSetUps sets the results of set-ups at one place side by side, in the
// order given. It returns an error for fewer than two or more than eight.
func CompareSetUps(all []Result) (SetUpComparison, error) {
	if len(all) < FewestCompared || len(all) > MostCompared {
		return SetUpComparison{}, fmt.Errorf("%d set-ups cannot be compared; give %d to %d", len(all), FewestCompared, MostCompared)
	}
	return SetUpComparison{Results: all, Differs: told(all, setUpContrasts(), Result.name), Advice: advised(all)}, nil
}

func (r Result) name() string { return `"` + plainly(r.SetUp.Name) + `"` }

// setUpContrasts in the order a keeper asks. The least differences are our own
// choice.
func setUpContrasts() []contrast[Result] {
	known := func(of func(Result) Spread) func(Result) float64 {
		return func(r Result) float64 {
			if r.Relative {
				return math.NaN()
			}
			return of(r).Median()
		}
	}
	return []contrast[Result]{
		{func(r Result) float64 { return inTen(r.HoneyBoundShare) }, hive.Count, 1, 0,
			"Honey shuts the queen in least often with %s (in {} years of ten) and most often with %s (in {})."},
		{func(r Result) float64 { return r.CongestedDays.Median() }, hive.Days, 2, 0,
			"The hive is congested for the shortest time with %s ({}) and for the longest with %s ({})."},
		{known(func(r Result) Spread { return r.HarvestKg }), hive.Kg, 2, 0.1,
			"The crop is smallest with %s ({}) and largest with %s ({})."},
		{func(r Result) float64 { return r.Openings.Median() }, hive.Count, 2, 0,
			"The hive is opened least with %s ({} times) and most with %s ({})."},
		{known(func(r Result) Spread { return r.LiftedKg }), hive.Kg, 20, 0.2,
			"The least weight is lifted with %s ({} in the year) and the most with %s ({})."},
		{func(r Result) float64 { return inTen(r.ShortShare) }, hive.Count, 1, 0,
			"Stores for the winter fall short least often with %s (in {} years of ten) and most often with %s (in {})."},
	}
}

// advised names the set-up that keeps the nest free with the fewest openings,
// or the one that comes nearest.
func advised(all []Result) hive.Reason {
	best := -1
	for i, r := range all {
		if r.HoneyBoundShare <= mostBound && (best < 0 || easier(r, all[best])) {
			best = i
		}
	}
	if best >= 0 {
		r := all[best]
		return hive.Reason{
			Text:   "At " + plainly(r.Place) + " take " + r.name() + ": of those that keep the brood nest free in nine years of ten it is opened least often, {} times a year.",
			Values: []hive.Value{{Number: r.Openings.Median()}},
		}
	}
	low, _, _ := ends(all, func(r Result) float64 { return r.HoneyBoundShare })
	r := all[low]
	return hive.Reason{
		Text:   "At " + plainly(r.Place) + " none of these keeps the brood nest free in nine years of ten. " + r.name() + " comes nearest, bound in {} years of ten: give room sooner, or come more often.",
		Values: []hive.Value{{Number: inTen(r.HoneyBoundShare)}},
	}
}

// easier reports whether a asks for fewer openings than b, or for less lifting
// with as many.
func easier(a, b Result) bool {
	if x, y := a.Openings.Median(), b.Openings.Median(); x != y {
		return x < y
	}
	return a.LiftedKg.Median() < b.LiftedKg.Median()
}
