package fill

import (
	"cmp"
	"math"
	"slices"

	"bloomtide/ingest/weather"
)

// NearOptions say how far neighbours may speak for a station; zero fields mean
// the stated defaults.
type NearOptions struct {
	MinDays int // days in common that a regression needs; default 365
	Most    int // neighbours that are used, the best first; default 6
}

// Defaults are our choices: a year in common holds every season once, and
// beyond half a dozen neighbours the error hardly falls (Hubbard and You 2005,
// J. Atmos. Oceanic Technol. 22:1520, from memory).
const (
	defaultCommon = 365
	defaultMost   = 6
)

func (o NearOptions) filled() NearOptions {
	if o.MinDays <= 0 {
		o.MinDays = defaultCommon
	}
	if o.Most <= 0 {
		o.Most = defaultMost
	}
	return o
}

// Estimate is one value made from neighbours.
type Estimate struct {
	Date    weather.Date
	Element weather.Element // TMin or TMax
	Value   weather.Celsius
	ErrorK  float64 // expected absolute error, K
	HalfK   float64 // four times in five the truth is at most so far off, K
}

// NearReport says what neighbours gave.
type NearReport struct {
	Estimates []Estimate
	Days      int            // days with an estimated extreme
	Used      []weather.Site // neighbours that had enough in common, the best first
	MinK      float64        // mean expected absolute error of the minima, K
	MaxK      float64        // and of the maxima
}

// Near returns a copy of s with missing extremes estimated from neighbours,
// wherever one of them has the day. Its days stay within those of s.
//
// Each neighbour's estimate is a regression of the station's extreme on both
// extremes of the neighbour on the day before, the day and the day after, and
// on the season, fitted for each month on that month and the two beside it
// (spatial regression: Hubbard, Goddard, Sorensen, Wells and Osugi 2005, J.
// Atmos. Oceanic Technol. 22:105, from memory; days before and after are ours,
// since a front needs hours from one station to the next). Estimates are weighed
// as combination has it. What the days beside the gap show over that estimate
// fades into it like a first-order autoregressive process, as in package comment.
//
// The expected error is that of the same estimate on the days the station has,
// less what the days beside a gap tell.
func Near(s weather.Series, others []weather.Series, o NearOptions) (weather.Series, NearReport) {
	o = o.filled()
	out := s
	out.Days = append([]weather.Day(nil), s.Days...)
	var r NearReport
	low, high := column(s, minimum), column(s, maximum)
	made := [2][]Estimate{}
	for e, c := range []*values{low, high} {
		m := newNeighbours(c, e, others, o)
		made[e] = m.fill(c, [2]weather.Element{weather.TMin, weather.TMax}[e])
		if len(m.used) > len(r.Used) {
			r.Used = m.used
		}
	}
	for i := range out.Days {
		d := &out.Days[i]
		put(&d.Min, &d.MinFlags, low.at[i], low.made[i])
		put(&d.Max, &d.MaxFlags, high.at[i], high.made[i])
		order(d, low.made[i], high.made[i])
		if low.made[i] || high.made[i] {
			r.Days++
		}
	}
	for e := range made {
		for i := range made[e] {
			day := out.At(made[e][i].Date)
			made[e][i].Value = [2]weather.Celsius{day.Min, day.Max}[e]
		}
	}
	r.MinK, r.MaxK = expected(made[0]), expected(made[1])
	r.Estimates = append(made[0], made[1]...)
	slices.SortStableFunc(r.Estimates, func(a, b Estimate) int { return cmp.Compare(a.Date, b.Date) })
	return out, r
}

func expected(all []Estimate) float64 {
	var sum float64
	for _, e := range all {
		sum += e.ErrorK
	}
	return sum / float64(max(1, len(all)))
}

// neighbours estimate one extreme of a station from all others.
type neighbours struct {
	months []uint8   // of each day of the station, 0..11
	mean   []float64 // the estimate of each day, NaN where no neighbour has it
	used   []weather.Site

	weight []float64 // of the departures known around each day, see follow
	usual  float64   // the mean of it on days that the station has
	lost   float64   // square of the error that is added for each unit of weight below it, K²

	sigma       [12]float64 // root mean square error by month, K
	persistence float64     // lag-one correlation of the errors, 0..0.95
	meanOfSD    float64     // mean absolute error in standard deviations
	halfOfSD    float64     // four of five errors are smaller, in standard deviations
}

// newNeighbours fits every neighbour to an extreme (0 the minimum, 1 the
// maximum), keeps the best and joins them.
func newNeighbours(y *values, extreme int, others []weather.Series, o NearOptions) *neighbours {
	n := &neighbours{months: monthsFrom(y.start, len(y.at)), mean: make([]float64, len(y.at))}
	var fits []fitted
	for _, other := range others {
		if f, ok := fitTo(y, n.months, extreme, other, o.MinDays); ok {
			fits = append(fits, f)
		}
	}
	slices.SortStableFunc(fits, func(a, b fitted) int { return cmp.Compare(a.rmse, b.rmse) })
	fits = fits[:min(len(fits), o.Most)]
	joint := newCombination(y, n.months, fits)
	for i := range n.mean {
		n.mean[i] = joint.at(i)
	}
	for _, f := range fits {
		n.used = append(n.used, f.site)
	}
	n.follow(y)
	n.judge(y)
	return n
}

// judge measures the joined estimate on the days that the station has.
func (n *neighbours) judge(y *values) {
	var square, count [12]float64
	var all, allCount, xy, xx float64
	last := math.NaN()
	for i, t := range y.at {
		x := t - n.mean[i]
		if !math.IsNaN(x) {
			square[n.months[i]] += x * x
			count[n.months[i]]++
			all += x * x
			allCount++
			if !math.IsNaN(last) {
				xy += x * last
				xx += last * last
			}
		}
		last = x
	}
	for m := range n.sigma {
		const enough = 30 // days, our choice: below it the whole year speaks for the month
		n.sigma[m] = math.Sqrt(square[m] / count[m])
		if count[m] < enough {
			n.sigma[m] = math.Sqrt(all / allCount)
		}
	}
	if xx > 0 {
		n.persistence = min(max(xy/xx, 0), 0.95)
	}
	n.shape(y)
}

// shape measures how the errors are spread about their standard deviation.
func (n *neighbours) shape(y *values) {
	var size []float64
	var sum float64
	for i, t := range y.at {
		x := math.Abs(t-n.mean[i]) / n.sigma[n.months[i]]
		if !math.IsNaN(x) {
			size = append(size, x)
			sum += x
		}
	}
	if len(size) == 0 {
		return
	}
	slices.Sort(size)
	const fourOfFive = 0.8
	n.meanOfSD = sum / float64(len(size))
	n.halfOfSD = size[int(fourOfFive*float64(len(size)-1))]
}

// farthest is how many days an anomaly beside a gap is carried; at the usual
// persistence nothing is left of it by then.
const farthest = 15

// fill writes the estimates into the missing days of y.
func (n *neighbours) fill(y *values, e weather.Element) []Estimate {
	var out []Estimate
	known := func(i int) bool {
		return i >= 0 && i < len(y.at) && !math.IsNaN(y.at[i]) && !y.made[i] && !math.IsNaN(n.mean[i])
	}
	for i := range y.at {
		if !math.IsNaN(y.at[i]) || math.IsNaN(n.mean[i]) {
			continue
		}
		before, after := 1, 1
		for before <= farthest && !known(i-before) {
			before++
		}
		for after <= farthest && !known(i+after) {
			after++
		}
		x, left := n.between(y, i, before, after)
		y.at[i], y.made[i] = n.mean[i]+x, true
		sigma := n.sigma[n.months[i]]
		sd := math.Sqrt(sigma*sigma+n.unfollowed(i)) * left
		out = append(out, Estimate{
			Date: y.start + weather.Date(i), Element: e, ErrorK: sd * n.meanOfSD, HalfK: sd * n.halfOfSD,
		})
	}
	return out
}

// between returns the expected departure on day i from those known before and
// after days away, K, and the share of the standard deviation that is left.
// The formula is that of bridge; its variance is
//
//	(1−φ^2b)(1−φ^2a) / (1−φ^2(b+a))
func (n *neighbours) between(y *values, i, before, after int) (x, left float64) {
	φ := n.persistence
	b, a := math.Pow(φ, float64(before)), math.Pow(φ, float64(after))
	switch {
	case φ == 0 || before > farthest && after > farthest:
		return 0, 1
	case after > farthest:
		return b * (y.at[i-before] - n.mean[i-before]), math.Sqrt(1 - b*b)
	case before > farthest:
		return a * (y.at[i+after] - n.mean[i+after]), math.Sqrt(1 - a*a)
	}
	whole := 1 - b*b*a*a
	x = b*(1-a*a)*(y.at[i-before]-n.mean[i-before]) + a*(1-b*b)*(y.at[i+after]-n.mean[i+after])
	return x / whole, math.Sqrt((1 - b*b) * (1 - a*a) / whole)
}
