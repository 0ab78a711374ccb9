package calibrate

import (
	"math"
	"runtime"
	"sync"

	"bloomtide/phenology"
)

// Region is thermal time fitted to many sites at once: biofix, threshold and
// need are shared, and each site is early or late by days of its own, drawn
// toward none by how few years it has. The biofix is a date, or the daylength
// that opens a gate where that does better over the latitudes of the sites (at
// one latitude the two are the same).
type Region struct {
	Stage     phenology.Stage
	Sites     []SiteEffect // in the order given
	Years     int          // site-years
	SpreadSD  float64      // days: standard deviation of the sites' own days between sites; NaN for one site
	RMSE      float64      // days: with each site's own days, of years that the fit saw
	RMSESites float64      // days: of sites that the fit did not see, without days of their own; NaN for one site
	BiasSites float64      // days: the same, mean error
}

// SiteEffect is how a site differs from the region.
type SiteEffect struct {
	Years    int
	MeanDays float64 // mean of seen minus predicted, days
	Days     float64 // what is believed of it
	RMSE     float64 // by the region without this site, no days of its own; NaN for one site
}

// tally is the error of one model at one site: predicted minus seen.
type tally struct{ n, sum, squares float64 }

// loss is what a site adds to the fit: the sum of squares left when it has its
// own days, and the price of those days by their prior.
//
//	Σ(e−b)² + (σ/τ)² b² at its least, with b = w·mean
func (t tally) loss() float64 {
	if t.n == 0 {
		return 0
	}
	mean := t.sum / t.n
	return t.squares - t.n*mean*mean*siteTrust(t.n)
}

// left is the sum of squares alone.
func (t tally) left() float64 {
	if t.n == 0 {
		return 0
	}
	w, mean := siteTrust(t.n), t.sum/t.n
	return t.squares - t.n*mean*mean*(2*w-w*w)
}

// siteTrust is the share of a site's own mean that is believed after n years.
func siteTrust(n float64) float64 {
	return Shrink(Prior{SD: rowSD}, Sample{SD: yearSD, N: n}).Trust
}

// NewRegion fits thermal time to many sites. Each site is a list of years. The
// error is ErrNoYears.
func NewRegion(sites [][]Year, m phenology.Method) (Region, error) {
	earliest, years := math.Inf(1), 0
	for _, s := range sites {
		for _, y := range s {
			earliest = min(earliest, y.Seen)
			years++
		}
	}
	if years == 0 {
		return Region{}, ErrNoYears
	}
	g := tallies(sites, append(cells(phenology.ThermalTime, m, earliest), gated(sites, m, earliest)...))
	g.sum()
	best := g.best(-1)
	out := Region{Stage: g.stages[best], Years: years}
	var total, apart, bias float64
	for s := range sites {
		t := g.of[best][s]
		e := SiteEffect{Years: int(t.n), RMSE: math.NaN()}
		if t.n > 0 {
			e.MeanDays = -t.sum / t.n
			e.Days = siteTrust(t.n) * e.MeanDays
		}
		if len(sites) > 1 && t.n > 0 {
			u := g.of[g.best(s)][s]
			e.RMSE = math.Sqrt(u.squares / u.n)
			apart += u.squares
			bias += u.sum
		}
		total += t.left()
		out.Sites = append(out.Sites, e)
	}
	n := float64(years)
	out.RMSE = math.Sqrt(total / n)
	out.SpreadSD = spreadOfSites(out.Sites)
	out.RMSESites, out.BiasSites = math.NaN(), math.NaN()
	if len(sites) > 1 {
		out.RMSESites, out.BiasSites = math.Sqrt(apart/n), bias/n
	}
	return out, nil
}

// spreadOfSites is the standard deviation of the sites' mean days, NaN for one.
func spreadOfSites(sites []SiteEffect) float64 {
	var n, sum, squares float64
	for _, s := range sites {
		if s.Years > 0 {
			n, sum, squares = n+1, sum+s.MeanDays, squares+s.MeanDays*s.MeanDays
		}
	}
	return math.Sqrt(max(0, squares-sum*sum/n) / (n - 1))
}

// regionGrid is the error of every model at every site.
type regionGrid struct {
	stages []phenology.Stage
	of     [][]tally // [model][site]

	loss []float64 // [model], over all sites
	n    float64   // site-years
}

// sum adds up what each model loses over all sites.
func (g *regionGrid) sum() {
	g.loss = make([]float64, len(g.of))
	for p, sites := range g.of {
		g.n = 0
		for _, t := range sites {
			g.loss[p] += t.loss()
			g.n += t.n
		}
	}
}

// best returns the model of the least loss over all sites but one, with the
// doubts of package calibrate; without −1: over all.
func (g regionGrid) best(without int) int {
	best, least := 0, math.Inf(1)
	for p, sites := range g.of {
		loss, n := g.loss[p], g.n
		if without >= 0 {
			loss, n = max(loss-sites[without].loss(), 0), n-sites[without].n
		}
		if v := tempering*n*math.Log(loss+1e-9) + doubt(g.stages[p]); v < least {
			best, least = p, v
		}
	}
	return best
}

// tallies searches the cells, those of one threshold by one worker.
func tallies(sites [][]Year, cells []phenology.Stage) regionGrid {
	var jobs [][]phenology.Stage
	at := map[phenology.Stage]int{}
	for _, g := range cells {
		key := g.RatesKey()
		key.GateH = 0 // the gate is opened for each site by itself
		i, ok := at[key]
		if !ok {
			i = len(jobs)
			at[key] = i
			jobs = append(jobs, nil)
		}
		jobs[i] = append(jobs[i], g)
	}
	found := make([]regionGrid, len(jobs))
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range next {
				found[i] = oneThreshold(sites, jobs[i])
			}
		}()
	}
	for i := range jobs {
		next <- i
	}
	close(next)
	wait.Wait()
	var out regionGrid
	for _, f := range found {
		out.stages = append(out.stages, f.stages...)
		out.of = append(out.of, f.of...)
	}
	return out
}

// oneThreshold searches cells that share their rates.
func oneThreshold(sites [][]Year, cells []phenology.Stage) regionGrid {
	bare := cells[0]
	bare.GateH, bare.Start = 0, 0
	var courses []course
	var site []int // of each course
	var lats []float64
	for s, years := range sites {
		for _, y := range years {
			courses = append(courses, course{bare.Progress(bare.Rates(y.Season, nil), nil), y.Seen})
			site, lats = append(site, s), append(lats, y.Season.LatDeg)
		}
	}
	var out regionGrid
	starts := make([]int, len(courses))
	for _, g := range cells {
		for i, lat := range lats {
			if i == 0 || lat != lats[i-1] {
				starts[i] = g.At(lat).Start
				continue
			}
			starts[i] = starts[i-1]
		}
		need, step := center(courses, func(i int) int { return starts[i] })
		if !(step > 0) {
			continue
		}
		tried := around(need, step)
		first := len(out.stages)
		for _, g.Need = range tried {
			out.stages = append(out.stages, g)
			out.of = append(out.of, make([]tally, len(sites)))
		}
		one := make([]float64, len(tried))
		for i, c := range courses {
			c.misses(starts[i], tried, one)
			for k, e := range one {
				t := &out.of[first+k][site[i]]
				t.n, t.sum, t.squares = t.n+1, t.sum+e, t.squares+e*e
			}
		}
	}
	return out
}
