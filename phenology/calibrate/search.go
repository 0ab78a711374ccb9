package calibrate

import "bloomtide/phenology"

const (
	// unreached is the error given to a year whose stage the model does not
	// reach, days. Our own choice: worse than any date.
	unreached = 60

	// needsTried stand half a day apart on either side of the mean need.
	needsTried = 8
)

// search is a grid of models with the error of each in each year.
type search struct {
	n      int
	stages []phenology.Stage
	errs   []float32 // [model*n + year], days
	sse    []float64 // [model]
	doubts []float64 // [model], see doubt
}

// add takes in a model with its errors.
func (s *search) add(g phenology.Stage, errs []float32) {
	s.stages = append(s.stages, g)
	s.errs = append(s.errs, errs...)
	sum := 0.0
	for _, e := range errs {
		sum += float64(e) * float64(e)
	}
	s.sse = append(s.sse, sum)
	s.doubts = append(s.doubts, doubt(g))
}

// grid searches the cells of a family: each with needs around the mean of what
// had come together at noon of the day it was seen.
func grid(cells []phenology.Stage, years []Year) *search {
	s := &search{n: len(years)}
	rates := make([]phenology.Rates, len(years))
	progress := make([][]float64, len(years))
	errs := make([]float32, len(years))
	var key phenology.Stage
	for j, g := range cells {
		if k := g.RatesKey(); j == 0 || k != key {
			key = k
			for i, y := range years {
				rates[i] = g.Rates(y.Season, y.chill)
			}
		}
		need, step := 0.0, 0.0
		for i, y := range years {
			progress[i] = g.Progress(rates[i], progress[i])
			at := phenology.NeedAt(progress[i], y.Seen)
			need += at / float64(len(years))
			step += (phenology.NeedAt(progress[i], y.Seen+1) - phenology.NeedAt(progress[i], y.Seen-1)) / 4 / float64(len(years))
		}
		if !(step > 0) {
			continue // no heat when it was seen
		}
		for k := -needsTried; k <= needsTried; k++ {
			if g.Need = need + float64(k)*step; g.Need <= 0 {
				continue
			}
			for i, y := range years {
				errs[i] = miss(progress[i], g.Need, y.Seen)
			}
			s.add(g, errs)
		}
	}
	return s
}

// miss returns predicted minus seen, days.
func miss(progress []float64, need, seen float64) float32 {
	day, ok := phenology.Cross(progress, need)
	if !ok {
		return unreached
	}
	return float32(day - seen)
}
