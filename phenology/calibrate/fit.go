package calibrate

import (
	"errors"
	"math"
	"slices"
	"sync"

	"bloomtide/phenology"
)

// Options of a fit; zero fields mean the stated defaults.
type Options struct {
	Method phenology.Method // of the fitted stages; default single sine, horizontal cutoff
	Row    *Row             // what the forage table says; nil: nothing
}

// Score is the error of one way to predict over years that it did not see.
type Score struct {
	Name            string
	RMSE, MAE, Bias float64 // days; bias above 0: late
	Skill           float64 // 1 − MSE/MSE of the mean date; NaN where that is not known
	Chosen          bool
}

// Fit is the result for one stage of one plant at one place.
type Fit struct {
	Years  []Year
	Model  Model   // by all years
	Scores []Score // the mean date first, then the unshifted row, then by complexity

	// Errors are predicted minus seen of each year by the whole procedure without
	// it, the choice of the family included; MeanDate are those of the mean date
	// of the other years, NaN where there is none.
	Errors, MeanDate []float64

	// Nested are Errors with the choice of the family nested as well: without each
	// year, everything is fitted again without each other one, and only those
	// errors choose. Nil beyond mostNested years.
	Nested []float64

	Folds []Model // the model that was chosen and fitted without each year

	// Thermal is the heaviest model by all years that a forage table can hold: of
	// the family chosen where that is one of degree days, weighed by light or not,
	// else of thermal time; nil: too few years.
	Thermal *phenology.Stage
}

// ErrNoYears tells that there is nothing to fit to.
var ErrNoYears = errors.New("no year has both an observation and weather")

// New fits one stage of one plant to the years seen. The error is ErrNoYears.
func New(years []Year, o Options) (Fit, error) {
	if len(years) == 0 {
		return Fit{}, ErrNoYears
	}
	p := &problem{years: years, o: o}
	p.predictRows()
	ways := p.ways()
	f := Fit{Years: years, MeanDate: ways[0].miss}
	for i := range years {
		w := p.choose(ways, i)
		f.Folds = append(f.Folds, w.fit(i))
		f.Errors = append(f.Errors, w.miss[i])
	}
	f.Nested = p.nested(ways)
	chosen := p.choose(ways, -1)
	f.Model = chosen.fit()
	f.Scores = p.scores(ways, chosen.name)
	for _, w := range ways {
		if w.stage == phenology.ThermalTime || w.name == chosen.name && (w.stage == phenology.LightTime || w.stage == phenology.ShortDayTime) {
			f.Thermal = &w.fit().Sets[0].Stage
		}
	}
	return f, nil
}

// mostNested bounds the years of which each pair is left out in turn: a longer
// record chooses by so many years that the one left out hardly matters. Our own
// choice, a second or two of work.
const mostNested = 50

// nested is the error of each year when the family is chosen by errors of models
// that did not see it.
func (p *problem) nested(ways []way) []float64 {
	n := len(p.years)
	if n < 2 || n > mostNested {
		return nil
	}
	inner := make([][]way, n) // [year left out]: the ways with their errors in the others
	var wait sync.WaitGroup
	for i := range n {
		wait.Add(1)
		go func() {
			defer wait.Done()
			inner[i] = p.without(ways, i)
		}()
	}
	wait.Wait()
	var out []float64
	for i := range n {
		pick := p.choose(inner[i], i)
		for _, w := range ways {
			if w.name == pick.name {
				out = append(out, w.miss[i])
			}
		}
	}
	return out
}

// without returns the ways with the errors that they have in each year when it
// and year i are left out.
func (p *problem) without(ways []way, i int) []way {
	out := slices.Clone(ways)
	for k := range out {
		out[k].miss = make([]float64, len(p.years))
		for j := range p.years {
			if j != i {
				out[k].miss[j] = out[k].off(j, i, j)
			}
		}
	}
	return out
}

func (p *problem) predictRows() {
	p.rows = make([]float64, len(p.years))
	for i := range p.years {
		p.rows[i] = math.NaN()
		if p.o.Row == nil {
			continue
		}
		if d, ok := p.o.Row.day(p.ratesOf(i)(p.o.Row.Stage)); ok {
			p.rows[i] = d
		}
	}
}

// choose returns the simplest way whose squared error is within one standard
// error of the best, by the years but one; the mean date where that is no
// worse. With too few years to judge, the way that does best on open records.
func (p *problem) choose(ways []way, without int) way {
	n := len(p.years)
	if without >= 0 {
		n--
	}
	if n < someYears {
		return p.chooseFew(ways, n, without)
	}
	best := ways[0]
	for _, w := range ways[1:] {
		if meanSquare(w.miss, without) < meanSquare(best.miss, without) {
			best = w
		}
	}
	if best.rank == 0 {
		return best
	}
	for _, w := range ways[1:] {
		if w.rank < best.rank && excess(w.miss, best.miss, without) <= 0 && meanSquare(w.miss, without) < meanSquare(ways[0].miss, without) {
			return w
		}
	}
	return best
}

// chooseFew goes without a contest: a table row blended with a first fit, else
// the row, else the fit, else the mean date. From five years on the mean date
// stands where it was better.
func (p *problem) chooseFew(ways []way, n, without int) way {
	const judged = 5 // years; our own choice
	pick := ways[0]
	for _, w := range ways[1:] {
		if w.rank == 1 || n >= fewYears {
			pick = w
		}
		if w.rank == 2 && n >= fewYears {
			break
		}
	}
	if n >= judged && meanSquare(pick.miss, without) > meanSquare(ways[0].miss, without) {
		return ways[0]
	}
	return pick
}

// meanSquare returns the mean squared error of all years but one.
func meanSquare(miss []float64, without int) float64 {
	sum, n := 0.0, 0.0
	for i, e := range miss {
		if i != without {
			sum += e * e
			n++
		}
	}
	return sum / n
}

// excess returns how much the mean squared error of a way is above that of the
// best, less one standard error of the difference, year by year.
func excess(miss, best []float64, without int) float64 {
	sum, squares, n := 0.0, 0.0, 0.0
	for i := range miss {
		if i != without {
			d := miss[i]*miss[i] - best[i]*best[i]
			sum += d
			squares += d * d
			n++
		}
	}
	mean := sum / n
	return mean - math.Sqrt(max(0, squares/n-mean*mean)/(n-1))
}

// scores tells how each way did.
func (p *problem) scores(ways []way, chosen string) []Score {
	out := []Score{score(ways[0], ways[0].miss, chosen)}
	if p.o.Row != nil {
		row := way{name: "table row as it stands", miss: make([]float64, len(p.rows))}
		for i, d := range p.rows {
			if row.miss[i] = d - p.years[i].Seen; math.IsNaN(d) {
				row.miss[i] = unreached
			}
		}
		out = append(out, score(row, ways[0].miss, ""))
	}
	for _, w := range ways[1:] {
		out = append(out, score(w, ways[0].miss, chosen))
	}
	return out
}

func score(w way, mean []float64, chosen string) Score {
	s := Score{Name: w.name, Chosen: w.name == chosen, RMSE: math.Sqrt(meanSquare(w.miss, -1))}
	for _, e := range w.miss {
		s.Bias += e / float64(len(w.miss))
		s.MAE += math.Abs(e) / float64(len(w.miss))
	}
	s.Skill = 1 - s.RMSE*s.RMSE/meanSquare(mean, -1)
	return s
}
