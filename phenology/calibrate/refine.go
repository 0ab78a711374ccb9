package calibrate

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/optimize"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// The simplex starts one step of the grid wide. Our own choices.
const (
	// mostTried models for each choice of years: on the open records twice as
	// many change no error of years not seen by a hundredth of a day.
	mostTried = 80

	// settled is the change of twice the log posterior below which, over as many
	// steps as the simplex has had patience, nothing more is looked for.
	settled, patience = 1e-3, 20

	// What is closer than these tells the same, and shares its courses.
	lowerStep = 0.1  // °C
	midStep   = 0.4  // °C
	slopeStep = 0.02 // 1/K
)

// refiner looks between the points of a grid, from the best of them, by the
// simplex of Nelder and Mead 1965 (gonum). What it finds hangs on the years
// alone and is looked for once for each choice of them.
type refiner struct {
	years []Year
	last  int // latest biofix tried, days after the start of the plant year

	lock    sync.Mutex
	courses map[phenology.Stage][]course // of each key of rates, one for each year
	found   map[[2]int]*refined          // by the years left out, at most two
}

// refined is a model between the points of the grid.
type refined struct {
	stage  phenology.Stage
	errs   []float32 // of each year, days
	weighs float64   // see weigh
}

// newRefiner is nil for a family that the grid alone has to do for.
func newRefiner(f phenology.Family, years []Year) *refiner {
	if f != phenology.ThermalTime && f != phenology.SigmoidTime {
		return nil
	}
	r := &refiner{years: years, courses: map[phenology.Stage][]course{}, found: map[[2]int]*refined{}}
	first := math.Inf(1)
	for _, y := range years {
		first = min(first, y.Seen)
	}
	r.last = max(0, min(latestStart, int(first)-heatDays))
	return r
}

// of appends the courses of a stage in all years but those left out.
func (r *refiner) of(g phenology.Stage, without []int, used []course) []course {
	key := g.RatesKey()
	r.lock.Lock()
	defer r.lock.Unlock()
	all, ok := r.courses[key]
	if !ok {
		for _, y := range r.years {
			all = append(all, course{key.Progress(key.Rates(y.Season, nil), nil), y.Seen})
		}
		r.courses[key] = all
	}
	for i, c := range all {
		if !slices.Contains(without, i) {
			used = append(used, c)
		}
	}
	return used
}

// point is the model, its need aside, at coordinates in steps of the grid from a
// stage: x[0] biofix (7 days), x[2] lower threshold (0.5 °C) or middle of the
// sigmoid (2 °C), x[3] its slope (by half as much again). outside is how many
// steps beyond the bounds of the grid they lie; the model is on the bounds then.
func (r *refiner) point(g phenology.Stage, x []float64) (at phenology.Stage, outside float64) {
	within := func(v, lo, hi, step float64) float64 {
		in := min(max(v, lo), hi)
		outside += math.Abs(v-in) / step
		return in
	}
	g.Start = int(math.Round(within(float64(g.Start)+x[0]*startEvery, 0, float64(r.last), startEvery)))
	if g.Family == phenology.SigmoidTime {
		g.Mid = snap(within(g.Mid+2*x[2], 2, 22, 2), midStep)
		g.Slope = snap(within(g.Slope*math.Pow(1.5, x[3]), -0.8, -0.1, 0.1), slopeStep)
		return g, outside
	}
	lower := within(float64(g.Clock.Thresholds.Lower)+x[2]/2, coldestLower, hottestLower, 0.5)
	g.Clock.Thresholds.Lower = weather.Celsius(snap(lower, lowerStep))
	return g, outside
}

func snap(v, step float64) float64 { return math.Round(v/step) * step }

// refine returns the best model that the simplex finds by all years but those
// left out, nil where none is better than the best point of the grid.
//
//	weighs  what the point of the grid weighs, see weigh
func (s *search) refine(from phenology.Stage, weighs float64, without []int) *refined {
	r := s.refiner
	if r == nil {
		return nil
	}
	key := [2]int{-1, -1}
	copy(key[:], without)
	key[0], key[1] = max(key[0], key[1]), min(key[0], key[1])
	r.lock.Lock()
	out, ok := r.found[key]
	r.lock.Unlock()
	if ok {
		return out
	}
	if v := r.descend(from, without); v.weighs < weighs {
		out = &v
	}
	r.lock.Lock()
	defer r.lock.Unlock()
	r.found[key] = out
	return out
}

// descent is one walk of the simplex.
type descent struct {
	*refiner
	from    phenology.Stage
	without []int
	used    []course
}

// descend walks from a stage of the grid.
func (r *refiner) descend(from phenology.Stage, without []int) refined {
	d := &descent{refiner: r, from: from, without: without}
	x := make([]float64, 3, 4)
	if from.Family == phenology.SigmoidTime {
		x = x[:4]
	}
	d.used = r.of(from, without, nil)
	if need, step := center(d.used, func(int) int { return from.Start }); step > 0 {
		x[1] = (from.Need - need) / step
	}
	problem := optimize.Problem{Func: func(x []float64) float64 { return d.try(x).weighs }}
	settings := optimize.Settings{FuncEvaluations: mostTried, Converger: &optimize.FunctionConverge{Absolute: settled, Iterations: patience}}
	end, err := optimize.Minimize(problem, x, &settings, &optimize.NelderMead{SimplexSize: 1})
	if err != nil || end == nil {
		return refined{weighs: math.Inf(1)}
	}
	best := d.try(end.X)
	for _, c := range r.of(best.stage, nil, nil) {
		best.errs = append(best.errs, float32(c.miss(best.stage)))
	}
	return best
}

// try weighs the model at coordinates; x[1] is its need in half days from what
// had come together in the mean when the stage was seen.
func (d *descent) try(x []float64) refined {
	g, outside := d.point(d.from, x)
	d.used = d.of(g, d.without, d.used[:0])
	need, step := center(d.used, func(int) int { return g.Start })
	g.Need = need + x[1]*step
	if !(step > 0 && g.Need > 0) {
		return refined{stage: g, weighs: math.Inf(1)}
	}
	loss := 0.0
	for _, c := range d.used {
		loss += square(c.miss(g))
	}
	return refined{stage: g, weighs: weigh(loss, len(d.used), doubt(g)) + outside}
}
