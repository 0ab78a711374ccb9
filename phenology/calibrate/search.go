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

	refiner *refiner // nil: the grid alone is searched
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
	if len(cells) > 0 {
		s.refiner = newRefiner(cells[0].Family, years)
	}
	rates := make([]phenology.Rates, len(years))
	courses := make([]course, len(years))
	var last phenology.Stage
	for j, g := range cells {
		if k := g.RatesKey(); j == 0 || k != last.RatesKey() {
			for i, y := range years {
				rates[i] = g.Rates(y.Season, y.chill)
			}
			last = phenology.Stage{}
		}
		start := g.Start
		if bare := unstarted(g); bare != last || j == 0 {
			for i, y := range years {
				courses[i] = course{bare.Progress(rates[i], courses[i].total), y.Seen}
			}
			last = bare
		}
		if g.Family.Chills() {
			start = 0 // their progress does not only hang on heat since the start
		}
		s.needs(g, start, courses)
	}
	return s
}

// unstarted is a stage from whose course those of stages that start later can be
// cut; what needs chill is left as it is.
func unstarted(g phenology.Stage) phenology.Stage {
	if !g.Family.Chills() {
		g.Start = 0
	}
	return g
}

// needs takes in a model with each need tried.
func (s *search) needs(g phenology.Stage, start int, years []course) {
	need, step := center(years, func(int) int { return start })
	if !(step > 0) {
		return // no heat when it was seen
	}
	tried := around(need, step)
	errs := make([]float32, len(tried)*len(years))
	one := make([]float64, len(tried))
	for i, c := range years {
		c.misses(start, tried, one)
		for k, e := range one {
			errs[k*len(years)+i] = float32(e)
		}
	}
	for k, need := range tried {
		g.Need = need
		s.add(g, errs[k*len(years):(k+1)*len(years)])
	}
}
