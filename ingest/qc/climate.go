package qc

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"bloomtide/ingest/weather"
)

// spread is the middle and width of a set of temperatures, °C and K.
type spread struct {
	mean, sd float64
	n        int
}

// z returns how many standard deviations a value lies from the mean, NaN where
// the set is too small to say.
func (s spread) z(t float64) float64 {
	const fewest = 30 // values
	if s.n < fewest || !(s.sd > 0) {
		return math.NaN()
	}
	return math.Abs(t-s.mean) / s.sd
}

// columns number the days of a record by month and by day of the year.
type columns struct {
	months []uint8 // 0..11
	slots  []int16 // 0..365, 29 February included
}

func (w *work) month(i int) int { return int(w.calendar().months[i]) }

func (w *work) calendar() *columns {
	if w.columns != nil {
		return w.columns
	}
	n := len(w.s.Days)
	c := &columns{months: make([]uint8, n), slots: make([]int16, n)}
	var before [12]int // days of a leap year before each month
	for m := 1; m < 12; m++ {
		before[m] = before[m-1] + weather.DaysIn(2000, time.Month(m))
	}
	for i := 0; i < n; {
		y, m, d := (w.s.Start + weather.Date(i)).YMD()
		last := weather.DaysIn(y, m)
		for ; d <= last && i < n; d, i = d+1, i+1 {
			c.months[i] = uint8(m - 1)
			c.slots[i] = int16(before[m-1] + d - 1)
		}
	}
	w.columns = c
	return c
}

// monthly returns mean and standard deviation of each month, all years.
func monthly(w *work) (out [2][12]spread) {
	for e := range out {
		var values [12][]float64
		for i := range w.s.Days {
			if t, ok := w.value(i, e); ok {
				m := w.month(i)
				values[m] = append(values[m], t)
			}
		}
		for m := range values {
			out[e][m] = biweight(values[m])
		}
	}
	return out
}

// biweight returns the biweight mean and standard deviation: like the usual
// ones, but values far out do not count (Lanzante 1996, Int. J. Climatol.
// 16:1197, as Durre et al. 2010 use it; from memory). It sorts v.
func biweight(v []float64) spread {
	n := len(v)
	if n == 0 {
		return spread{}
	}
	slices.Sort(v)
	median := v[n/2]
	away := make([]float64, n)
	for i, x := range v {
		away[i] = math.Abs(x - median)
	}
	slices.Sort(away)
	const censor = 7.5 // times the median absolute deviation
	width := censor * away[n/2]
	if width == 0 {
		return spread{mean: median, n: n}
	}
	var num, den, top, bottom float64
	for _, x := range v {
		u := (x - median) / width
		if math.Abs(u) >= 1 {
			continue
		}
		k := 1 - u*u
		num += (x - median) * k * k
		den += k * k
		top += (x - median) * (x - median) * k * k * k * k
		bottom += k * (1 - 5*u*u)
	}
	return spread{mean: median + num/den, sd: math.Sqrt(float64(n)*top) / math.Abs(bottom), n: n}
}

// gap rejects values that an empty stretch of 10 K and more parts from all
// others of their month, looking outward from the median.
func gap(w *work) {
	const empty, fewest = 10, 100 // K (Durre et al. 2010); values
	type at struct {
		t float64
		i int
	}
	for e := range extremes {
		var months [12][]at
		for i := range w.s.Days {
			if t, ok := w.value(i, e); ok {
				m := w.month(i)
				months[m] = append(months[m], at{t, i})
			}
		}
		for _, v := range months {
			if len(v) < fewest {
				continue
			}
			slices.SortFunc(v, func(a, b at) int { return cmp.Compare(a.t, b.t) })
			for k := len(v)/2 + 1; k < len(v); k++ {
				if v[k].t-v[k-1].t >= empty {
					for _, far := range v[k:] {
						w.found(far.i, far.i+1, e, fmt.Sprintf("the month is otherwise at most %.1f °C", v[k-1].t), notUsed)
					}
					break
				}
			}
			for k := len(v)/2 - 1; k >= 0; k-- {
				if v[k+1].t-v[k].t >= empty {
					for _, far := range v[:k+1] {
						w.found(far.i, far.i+1, e, fmt.Sprintf("the month is otherwise at least %.1f °C", v[k+1].t), notUsed)
					}
					break
				}
			}
		}
	}
}

// outlier reports values 6 biweight standard deviations and more from the mean
// of the 15 days about their day of the year, in all years, and rejects them
// from 10 on. At least 100 values are needed there (Durre et al. 2010, who
// reject at 6: Sydney's hottest days, which are real, lie at 6.0 to 6.7).
func outlier(w *work) {
	const far, beyond, half, fewest, slots = 6, 10, 7, 100, 366
	for e := range extremes {
		var days [slots][]float64
		for i := range w.s.Days {
			if t, ok := w.value(i, e); ok {
				s := w.calendar().slots[i]
				days[s] = append(days[s], t)
			}
		}
		var usual [slots]spread
		var window []float64
		for s := range usual {
			window = window[:0]
			for k := s - half; k <= s+half; k++ {
				window = append(window, days[(k+slots)%slots]...)
			}
			if len(window) >= fewest {
				usual[s] = biweight(window)
			}
		}
		for i := range w.s.Days {
			t, ok := w.value(i, e)
			u := usual[w.calendar().slots[i]]
			if z := u.z(t); ok && z >= far {
				what := fmt.Sprintf("%.1f standard deviations from the %.1f °C usual at that time of the year", z, u.mean)
				if z < beyond {
					w.told(i, i+1, e, what, look)
					continue
				}
				w.found(i, i+1, e, what, notUsed)
			}
		}
	}
}
