package verify

import "math"

// Errors are forecast minus observed, one a case.
type Errors []float64

// Bias returns the mean error: above 0 the forecast is late. NaN for no case.
func (e Errors) Bias() float64 {
	sum := 0.0
	for _, v := range e {
		sum += v
	}
	return sum / float64(len(e))
}

// MAE returns the mean absolute error, 0 at best. NaN for no case.
func (e Errors) MAE() float64 {
	sum := 0.0
	for _, v := range e {
		sum += math.Abs(v)
	}
	return sum / float64(len(e))
}

// RMSE returns the root of the mean squared error, 0 at best. NaN for no case.
func (e Errors) RMSE() float64 {
	sum := 0.0
	for _, v := range e {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(e)))
}

// Skill returns 1 − MSE/MSE of a reference over the same cases: 1 at best, 0
// where the forecast is no better than the reference, below where it is worse.
// NaN where the reference makes no error or the cases differ in number.
func (e Errors) Skill(reference Errors) float64 {
	r := reference.RMSE()
	if len(e) != len(reference) || r == 0 {
		return math.NaN()
	}
	return 1 - e.RMSE()*e.RMSE()/(r*r)
}

// SkillScore returns 1 − score/reference of two mean scores for which 0 is
// perfect, such as the CRPS; NaN where the reference is 0.
func SkillScore(score, reference float64) float64 {
	if reference == 0 {
		return math.NaN()
	}
	return 1 - score/reference
}
