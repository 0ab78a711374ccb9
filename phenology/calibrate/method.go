package calibrate

import (
	"math"
	"slices"
	"sync"

	"bloomtide/phenology"
)

// way is one way to predict, ready to be fitted without any one year.
type way struct {
	name  string
	rank  int       // simplest first
	fit   fitFunc   // the model by all years but those left out
	off   offFunc   // error in a year of the model fitted without some years, days
	miss  []float64 // error in each year of the model fitted without it, days
	stage phenology.Family
}

type (
	fitFunc func(out ...int) Model
	offFunc func(year int, out ...int) float64
)

// problem is one stage of one plant at one place with everything precomputed.
type problem struct {
	years []Year
	o     Options
	rows  []float64 // what the table row predicts in each year; NaN: not reached
}

// Few years: below fewYears nothing is fitted, below someYears thermal time
// alone, blended with the row (PHENOLOGY section 4.2, step 5).
const fewYears, someYears = 3, 8

// ways returns every way that the years can carry, simplest first; the mean
// date is the first.
func (p *problem) ways() []way {
	out := []way{{name: phenology.FixedDate.String(), fit: p.meanDate, off: p.offMean}}
	n := len(p.years)
	if p.o.Row != nil {
		out = append(out, way{name: "table row, shifted", rank: 1, fit: p.shifted, off: p.offShifted})
	}
	if n >= fewYears {
		out = append(out, p.searched(n)...)
	}
	for i := range out {
		for y := range p.years {
			out[i].miss = append(out[i].miss, out[i].off(y, y))
		}
	}
	return out
}

// families are those that the years can carry.
func (p *problem) families() []phenology.Family {
	if len(p.years) < someYears {
		return []phenology.Family{phenology.ThermalTime}
	}
	out := []phenology.Family{phenology.ThermalTime, phenology.SigmoidTime, phenology.LightTime}
	const late = 190 // day of the plant year after which short days may matter: a little past midsummer
	if p.earliest() > late {
		out = append(out, phenology.ShortDayTime)
	}
	for _, y := range p.years {
		if !y.Winter {
			return out
		}
	}
	return append(out, phenology.ChillThenHeat, phenology.ChillBesides, phenology.ChillTrade)
}

// searched runs the grids, beside each other.
func (p *problem) searched(n int) []way {
	families := p.families()
	found := make([]*search, len(families))
	if families[len(families)-1].Chills() {
		for i := range p.years {
			p.years[i].chill = phenology.DailyChill(p.years[i].Season)
		}
	}
	var wait sync.WaitGroup
	for i, f := range families {
		wait.Add(1)
		go func() {
			defer wait.Done()
			found[i] = grid(cells(f, p.o.Method, p.earliest()), p.years)
		}()
	}
	wait.Wait()
	var out []way
	for i, f := range families {
		if len(found[i].sse) == 0 {
			continue
		}
		out = append(out, way{name: f.String(), rank: 2 + int(f), stage: f, fit: p.average(found[i], f), off: func(y int, o ...int) float64 { return found[i].miss(y, o) }})
	}
	if p.o.Row != nil && len(out) > 0 {
		thermal := out[0]
		const name, share = "table row blended with thermal time", 0.5
		blend := way{name: name, rank: 2, fit: func(without ...int) Model {
			m := p.shifted(without...)
			m.Name, m.RowShare, m.Sets = name, share, thermal.fit(without...).Sets
			return m
		}, off: func(year int, without ...int) float64 {
			row, fit := p.offShifted(year, without...), thermal.off(year, without...)
			switch {
			case row == unreached:
				return fit
			case fit == unreached:
				return row
			}
			return share*row + (1-share)*fit
		}}
		out = append([]way{blend}, out...)
	}
	return out
}

// average fits a family: the weighted models of its grid.
func (p *problem) average(s *search, f phenology.Family) fitFunc {
	return func(without ...int) Model {
		return Model{Name: f.String(), Date: p.mean(without), Sets: s.kept(without)}
	}
}

// offMean is the error of the mean date of the other years.
func (p *problem) offMean(year int, out ...int) float64 {
	return p.mean(out) - p.years[year].Seen
}

// offShifted is the error of the shifted row.
func (p *problem) offShifted(year int, out ...int) float64 {
	if math.IsNaN(p.rows[year]) {
		return unreached
	}
	return p.rows[year] + p.shifted(out...).Shift - p.years[year].Seen
}

// ratesOf returns the columns of one year, each counted once.
func (p *problem) ratesOf(i int) func(phenology.Stage) phenology.Rates {
	seen := map[phenology.Stage]phenology.Rates{}
	y := p.years[i]
	return func(g phenology.Stage) phenology.Rates {
		key := g.RatesKey()
		r, ok := seen[key]
		if !ok {
			r = g.Rates(y.Season, y.chill)
			seen[key] = r
		}
		return r
	}
}

// meanDate is the reference: the mean of the years seen.
func (p *problem) meanDate(without ...int) Model {
	return Model{Name: phenology.FixedDate.String(), Date: p.mean(without), Fixed: true}
}

// mean returns the mean day of all years but those left out, NaN for none.
func (p *problem) mean(without []int) float64 {
	sum, n := 0.0, 0.0
	for i, y := range p.years {
		if !slices.Contains(without, i) {
			sum += y.Seen
			n++
		}
	}
	return sum / n
}

// shifted is the table row moved by what the years seen justify.
func (p *problem) shifted(without ...int) Model {
	sum, n := 0.0, 0.0
	for i, y := range p.years {
		if !slices.Contains(without, i) && !math.IsNaN(p.rows[i]) {
			sum += y.Seen - p.rows[i]
			n++
		}
	}
	m := Model{Name: "table row, shifted", Date: p.mean(without), Row: *p.o.Row, RowShare: 1, Trust: p.o.Row.trust(n)}
	if n > 0 {
		m.Shift = m.Trust * sum / n
	}
	return m
}

func (p *problem) earliest() float64 {
	first := math.Inf(1)
	for _, y := range p.years {
		first = min(first, y.Seen)
	}
	return first
}
