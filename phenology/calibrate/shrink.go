package calibrate

import "math"

// Prior is what is believed before anything is seen: a mean with its standard
// deviation between places.
type Prior struct{ Mean, SD float64 }

// Sample is what was seen: the mean of N years that differ by SD.
type Sample struct{ Mean, SD, N float64 }

// Belief is what follows from both.
type Belief struct {
	Mean      float64
	SD        float64 // of the mean
	Trust     float64 // share of the sample in the mean, 0 to 1
	Predicted float64 // standard deviation of the next year
}

// Shrink draws the mean of a sample toward a prior, the more the fewer years
// there are. Any unit, the same in all.
//
//	w = (n/σ²) / (n/σ² + 1/τ²)
//
// PHENOLOGY section 4.3; Gelman et al. 2013, eq. 2.12.
func Shrink(p Prior, s Sample) Belief {
	own, prior := s.N/(s.SD*s.SD), 1/(p.SD*p.SD)
	w := own / (own + prior)
	sd := 1 / math.Sqrt(own+prior)
	mean := p.Mean
	if w > 0 {
		mean = w*s.Mean + (1-w)*p.Mean
	}
	return Belief{Mean: mean, SD: sd, Trust: w, Predicted: math.Hypot(sd, s.SD)}
}
