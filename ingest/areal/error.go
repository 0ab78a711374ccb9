package areal

import (
	"math"
	"slices"

	"bloomtide/ingest/weather"
)

// Error is what leaving out one station in turn shows, K.
type Error struct {
	MinK, MaxK         float64 // mean absolute error of a day, over all stations; NaN with one station only
	MinBiasK, MaxBiasK float64 // mean over stations of the absolute value of their mean error
	HalfMinK, HalfMaxK float64 // four days in five are at most so far off
	Stations           int
	Days               int // days compared, of either extreme
}

// mostCompared bounds the days compared at each station; they are spread over
// its whole record.
const mostCompared = 3000

// leaveOneOut brings the other stations to where each one stands. What the
// station usually shows is not used, only its place and height.
func leaveOneOut(stations []*station, l [2]Lapse) Error {
	e := Error{MinK: math.NaN(), MaxK: math.NaN(), MinBiasK: math.NaN(), MaxBiasK: math.NaN(), HalfMinK: math.NaN(), HalfMaxK: math.NaN()}
	if len(stations) < 2 {
		return e
	}
	var sizes [2][]float64
	var biases [2][]float64
	for i, s := range stations {
		others := slices.Concat(stations[:i:i], stations[i+1:])
		site := s.series.Site
		place := Point(site.Point, site.ElevM)
		at := spot{site, place, weights(place, others)}
		for x := range sizes {
			size, bias := compare(at, others, s, l[x], x)
			if len(size) > 0 {
				sizes[x] = append(sizes[x], size...)
				biases[x] = append(biases[x], math.Abs(bias))
			}
		}
	}
	e.Stations, e.Days = len(stations), len(sizes[0])+len(sizes[1])
	e.MinK, e.MinBiasK, e.HalfMinK = average(sizes[0]), average(biases[0]), fourOfFive(sizes[0])
	e.MaxK, e.MaxBiasK, e.HalfMaxK = average(sizes[1]), average(biases[1]), fourOfFive(sizes[1])
	return e
}

// compare returns the absolute errors of an extreme at a station that was left
// out, and their mean with the sign kept.
func compare(at spot, others []*station, s *station, l Lapse, x int) (size []float64, bias float64) {
	norm := usual(at, others, l, x)
	step := max(1, len(s.series.Days)/mostCompared)
	for i := 0; i < len(s.series.Days); i += step {
		was, f := extreme(s.series.Days[i], x)
		if !f.Usable() || f&weather.Estimated != 0 {
			continue
		}
		d := s.series.Start + weather.Date(i)
		season := seasonOf(d)
		t, known := departure(others, at.weights, d, season, x)
		if known == 0 {
			continue
		}
		off := t + norm.at(season) - float64(was)
		size = append(size, math.Abs(off))
		bias += off
	}
	return size, bias / float64(max(1, len(size)))
}

func average(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func fourOfFive(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return v[int(0.8*float64(len(v)-1))]
}
