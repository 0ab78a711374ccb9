package forecast

import (
	"math"

	"bloomtide/forecast/verify"
)

// hindcast is one forecast with what came.
type hindcast struct {
	median, mean    float64 // error, days
	crps, crpsClim  float64 // days
	inside          bool
	meanDate        float64 // error of the mean date, days
	climatologyKnow bool
}

func newHindcast(members []float64, seen float64, climate []float64) hindcast {
	c := hindcast{
		median: verify.Quantile(members, 0.5) - seen, mean: mean(members) - seen,
		crps: score(members, seen), meanDate: math.NaN(),
		inside: verify.Central(members, promised).Holds(seen),
	}
	if len(climate) >= 2 {
		c.climatologyKnow = true
		c.crpsClim, c.meanDate = score(climate, seen), mean(climate)-seen
	}
	return c
}

// promised is the share of years that the shown interval should hold.
const promised = 0.8

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// summary gathers cases with the doubt of their scores.
func summary(cases []hindcast) Lead {
	n := float64(len(cases))
	l := Lead{N: len(cases)}
	var medians, means, dates verify.Errors
	for _, c := range cases {
		medians, means, dates = append(medians, c.median), append(means, c.mean), append(dates, c.meanDate)
		l.CRPS += c.crps / n
		if c.inside {
			l.Coverage80 += 1 / n
		}
	}
	l.MAE, l.RMSE, l.Bias = medians.MAE(), means.RMSE(), means.Bias()
	skill := func(which []int) float64 {
		var own, climate float64
		for _, i := range which {
			if !cases[i].climatologyKnow {
				return math.NaN()
			}
			own, climate = own+cases[i].crps, climate+cases[i].crpsClim
		}
		return verify.SkillScore(own, climate)
	}
	all := make([]int, len(cases))
	for i := range all {
		all[i] = i
	}
	l.CRPSS, l.MAEMeanDate, l.RMSEMeanDate, l.SkillMean = skill(all), dates.MAE(), dates.RMSE(), means.Skill(dates)
	const level, seed = 0.9, 1
	l.CRPSS90 = verify.Bootstrap(len(cases), level, seed, skill)
	l.MAE90 = verify.Bootstrap(len(cases), level, seed, func(which []int) float64 {
		sum := 0.0
		for _, i := range which {
			sum += math.Abs(medians[i]) / float64(len(which))
		}
		return sum
	})
	l.Coverage90 = verify.Bootstrap(len(cases), level, seed, func(which []int) float64 {
		sum := 0.0
		for _, i := range which {
			if cases[i].inside {
				sum += 1 / float64(len(which))
			}
		}
		return sum
	})
	return l
}
