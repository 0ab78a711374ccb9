package fill

import (
	"math"
	"time"

	"bloomtide/ingest/weather"
)

// terms of a neighbour's regression: one, the two halves of a yearly wave, both
// extremes on three days, and the square of the day's range, which is that of
// clear days, on which frost and heat depend most on the ground (our choice; it
// helps at three of the four records of package ingest's test). The short form,
// for days whose neighbours in time are missing, has the first extreme of the day
// only.
const (
	terms      = 10
	shortTerms = 4
)

// row is one day's predictors; the extreme that is sought stands first.
type row [terms]float64

// fitted is what one neighbour says of a station.
type fitted struct {
	site     weather.Site
	estimate []float64 // for each day of the station, NaN where there is none
	rmse     float64   // over all days in common, K
}

// sums gathers the normal equations of one month.
type sums struct {
	xx [terms][terms]float64
	xy row
	n  float64
}

func (s *sums) add(x *row, y float64, k int) {
	for i := range k {
		for j := range i + 1 {
			s.xx[i][j] += x[i] * x[j]
		}
		s.xy[i] += x[i] * y
	}
	s.n++
}

func (s *sums) plus(o *sums) {
	for i := range terms {
		for j := range i + 1 {
			s.xx[i][j] += o.xx[i][j]
		}
		s.xy[i] += o.xy[i]
	}
	s.n += o.n
}

// regression is a fit for one month.
type regression struct {
	b  row
	ok bool
}

// fitTo fits a neighbour to an extreme of the station, for each month on the
// month and the two beside it.
func fitTo(y *values, months []uint8, extreme int, other weather.Series, minDays int) (fitted, bool) {
	p := newPredictors(y, extreme, other)
	var long, short [12]sums
	common := 0
	var x row
	for i, t := range y.at {
		if math.IsNaN(t) {
			continue
		}
		k := p.at(i, &x)
		if k == 0 {
			continue
		}
		common++
		if k == terms {
			long[months[i]].add(&x, t, terms)
		}
		short[months[i]].add(&x, t, shortTerms)
	}
	if common < minDays {
		return fitted{}, false
	}
	return p.apply(y, months, solveAll(&long, terms), solveAll(&short, shortTerms)), true
}

// solveAll solves the twelve regressions of k terms.
func solveAll(months *[12]sums, k int) (out [12]regression) {
	for m := range months {
		s := months[m]
		s.plus(&months[(m+1)%12])
		s.plus(&months[(m+11)%12])
		out[m] = s.solve(k)
	}
	return out
}

// apply estimates every day of the station that the neighbour has.
func (p *predictors) apply(y *values, months []uint8, long, short [12]regression) fitted {
	f := fitted{site: p.site, estimate: make([]float64, len(y.at))}
	var square, n float64
	var x row
	for i := range y.at {
		f.estimate[i] = math.NaN()
		k := p.at(i, &x)
		g, terms := &long[months[i]], k
		if k < len(x) || !g.ok {
			g, terms = &short[months[i]], min(k, shortTerms)
		}
		if k == 0 || !g.ok {
			continue
		}
		var v float64
		for j := range terms {
			v += g.b[j] * x[j]
		}
		f.estimate[i] = v
		if !math.IsNaN(y.at[i]) {
			square += (v - y.at[i]) * (v - y.at[i])
			n++
		}
	}
	f.rmse = math.Sqrt(square / max(1, n))
	return f
}

// predictors are a neighbour's record on the days of a station.
type predictors struct {
	site   weather.Site
	cols   [2]*values // the extreme that is sought, and the other one
	offset int        // day of the station minus day of the neighbour
	first  weather.Date
}

func newPredictors(y *values, extreme int, other weather.Series) *predictors {
	p := &predictors{site: other.Site, offset: int(y.start - other.Start), first: y.start}
	p.cols = [2]*values{column(other, minimum), column(other, maximum)}
	if extreme == 1 {
		p.cols[0], p.cols[1] = p.cols[1], p.cols[0]
	}
	return p
}

// centre is taken from temperatures to keep the equations well scaled, °C.
const centre = 10

// at fills x for a day of the station and returns how many terms are known:
// all of them, shortTerms or none.
func (p *predictors) at(i int, x *row) int {
	own := p.cols[0].at
	j := i + p.offset
	if j < 0 || j >= len(own) || math.IsNaN(own[j]) {
		return 0
	}
	const yearDays = 365.2425
	turn := 2 * math.Pi * float64(int(p.first)+i) / yearDays
	sin, cos := math.Sincos(turn)
	x[0], x[1], x[2], x[3] = 1, sin, cos, own[j]-centre
	if j == 0 || j+1 >= len(own) {
		return shortTerms
	}
	x[4], x[5] = own[j-1]-centre, own[j+1]-centre
	x[6], x[7], x[8] = p.cols[1].at[j]-centre, p.cols[1].at[j-1]-centre, p.cols[1].at[j+1]-centre
	x[9] = (x[3] - x[6]) * (x[3] - x[6]) / centre // divided to keep its size near the others'
	for _, v := range x[4:] {
		if math.IsNaN(v) {
			return shortTerms
		}
	}
	return terms
}

// solve solves the normal equations of the first k terms by Cholesky's method,
// with a trace of ridge so that terms that move together stay harmless.
func (s *sums) solve(k int) regression {
	const perTerm = 10 // days for each fitted term at least, common practice, no source
	if s.n < float64(perTerm*k) {
		return regression{}
	}
	var l [terms][terms]float64
	for i := range k {
		for j := range i + 1 {
			v := s.xx[i][j]
			if i == j {
				v += 1e-6 * s.n
			}
			for m := range j {
				v -= l[i][m] * l[j][m]
			}
			if i != j {
				l[i][j] = v / l[j][j]
				continue
			}
			if v <= 0 {
				return regression{}
			}
			l[i][i] = math.Sqrt(v)
		}
	}
	r := regression{ok: true}
	var half row
	for i := range k {
		v := s.xy[i]
		for j := range i {
			v -= l[i][j] * half[j]
		}
		half[i] = v / l[i][i]
	}
	for i := k - 1; i >= 0; i-- {
		v := half[i]
		for j := i + 1; j < k; j++ {
			v -= l[j][i] * r.b[j]
		}
		r.b[i] = v / l[i][i]
	}
	return r
}

// monthsFrom numbers the months of n days from a start, 0..11.
func monthsFrom(start weather.Date, n int) []uint8 {
	out := make([]uint8, n)
	for i := 0; i < n; {
		y, m, d := (start + weather.Date(i)).YMD()
		last := weather.DaysIn(y, m) - d
		for end := min(n, i+last+1); i < end; i++ {
			out[i] = uint8(m - time.January)
		}
	}
	return out
}
