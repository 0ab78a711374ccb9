package qc

import (
	"fmt"
	"math"
	"slices"

	"bloomtide/ingest/weather"
)

// near is a neighbour's line for an extreme: what it says of a day here.
type near struct {
	s      weather.Series
	a, b   float64 // t = a + b·(neighbour)
	square float64 // mean squared error, K²
}

// spatial rejects values far from what neighbours give. Each month of each
// year is regressed on each neighbour over the 60 days about it; of the
// neighbour's day and the days beside it the nearest value counts. Decisive
// with three neighbours (Durre et al. 2010); with fewer it is reported only.
func spatial(w *work) {
	const (
		farK, farSD = 8, 4 // Durre et al. 2010
		decisive    = 3    // neighbours
		half        = 15   // days to either side of the month
	)
	for e := range extremes {
		var off []doubt
		for i := 0; i < len(w.s.Days); {
			_, _, d := (w.s.Start + weather.Date(i)).YMD()
			to := min(len(w.s.Days), i+w.monthDays(i)-d+1)
			off = append(off, w.against(e, [2]int{i, to}, [2]int{i - half, to + half})...)
			i = to
		}
		sd := spreadOf(off)
		for _, x := range off {
			if math.Abs(x.k) < farK || math.Abs(x.k) < farSD*sd {
				continue
			}
			what := fmt.Sprintf("%d neighbours give %.1f °C", x.n, x.want)
			if x.n >= decisive {
				w.found(x.i, x.i+1, e, what, notUsed)
				continue
			}
			w.told(x.i, x.i+1, e, what, "it is used, since three neighbours would be needed to tell")
		}
	}
}

// doubt is a day's departure from what neighbours give.
type doubt struct {
	i, n    int
	k, want float64
}

func spreadOf(all []doubt) float64 {
	v := make([]float64, len(all))
	for i, x := range all {
		v[i] = x.k
	}
	return biweight(v).sd
}

// against compares the days of a span with the neighbours, each regressed on a
// wider span.
func (w *work) against(e int, span, wide [2]int) []doubt {
	var fits []near
	for _, s := range w.o.Neighbours {
		if f, ok := w.fit(s, e, wide); ok {
			fits = append(fits, f)
		}
	}
	if len(fits) == 0 {
		return nil
	}
	var out []doubt
	for i := span[0]; i < span[1]; i++ {
		t, ok := w.value(i, e)
		if !ok {
			continue
		}
		var sum, weight float64
		n := 0
		for _, f := range fits {
			if v, ok := f.closest(w.s.Start+weather.Date(i), e, t); ok {
				sum += v / f.square
				weight += 1 / f.square
				n++
			}
		}
		if n > 0 {
			out = append(out, doubt{i: i, n: n, k: t - sum/weight, want: sum / weight})
		}
	}
	return out
}

// closest returns the neighbour's estimate of the three days that is nearest
// to a value.
func (f near) closest(d weather.Date, e int, t float64) (best float64, ok bool) {
	for _, day := range []weather.Date{d - 1, d, d + 1} {
		x, known := of(f.s.At(day), e)
		if !known {
			continue
		}
		if v := f.a + f.b*x; !ok || math.Abs(v-t) < math.Abs(best-t) {
			best, ok = v, true
		}
	}
	return best, ok
}

// fit regresses days of a span on a neighbour, 40 of which must be in common
// (Durre et al. 2010). A pair that does not go together is left out.
func (w *work) fit(s weather.Series, e int, span [2]int) (near, bool) {
	const fewest, leastR = 40, 0.8
	var n, x, y, xx, xy, yy float64
	for i := max(span[0], 0); i < min(span[1], len(w.s.Days)); i++ {
		t, ok := w.value(i, e)
		o, okO := of(s.At(w.s.Start+weather.Date(i)), e)
		if !ok || !okO {
			continue
		}
		n++
		x += o
		y += t
		xx += o * o
		xy += o * t
		yy += t * t
	}
	if n < fewest {
		return near{}, false
	}
	sx, sy, sxy := xx-x*x/n, yy-y*y/n, xy-x*y/n
	if sx <= 0 || sy <= 0 || sxy < leastR*math.Sqrt(sx*sy) {
		return near{}, false
	}
	f := near{s: s, b: sxy / sx}
	f.a = (y - f.b*x) / n
	const least = 0.01 // K², what rounding alone leaves
	f.square = max((sy-f.b*sxy)/n, least)
	return f, true
}

// shifted reports spans of years in which an extreme goes better with its
// neighbours a day later or earlier than on the same day, as where a morning
// reading of the maximum is written down on the day of reading.
func shifted(w *work) {
	for e := range extremes {
		from, lag := 0, 0
		flush := func(to int) {
			if lag != 0 {
				w.tellShift(e, from, to, lag)
			}
		}
		year := func(i int) int { return (w.s.Start + weather.Date(i)).Year() }
		for i := 0; i < len(w.s.Days); {
			to := i
			for to < len(w.s.Days) && year(to) == year(i) {
				to++
			}
			if l := w.lag(e, i, to); l != lag {
				flush(i)
				from, lag = i, l
			}
			i = to
		}
		flush(len(w.s.Days))
	}
}

// tellShift reports a shift and undoes it where that is asked for.
func (w *work) tellShift(e, from, to, lag int) {
	for to > from {
		if _, ok := w.value(to-1, e); ok {
			break
		}
		to--
	}
	when := "the day after it was reached"
	if lag < 0 {
		when = "the day before it was reached"
	}
	mend := "it is used as it stands; --undo-shift moves it back"
	if w.o.UndoShift {
		mend = "it is moved back by a day"
	}
	w.found(from, to, e, "it goes with the neighbours as if written down on "+when, mend)
	if w.o.UndoShift {
		w.move(e, from, to, lag)
	}
}

// move takes an extreme of a span lag days back in time. Days that nothing
// comes to are left empty.
func (w *work) move(e, from, to, lag int) {
	was := slices.Clone(w.s.Days)
	for i := from; i < to; i++ {
		var d weather.Day
		if j := i + lag; j >= from && j < to {
			d = was[j]
		}
		if e == 0 {
			w.s.Days[i].Min, w.s.Days[i].MinFlags = d.Min, d.MinFlags
		} else {
			w.s.Days[i].Max, w.s.Days[i].MaxFlags = d.Max, d.MaxFlags
		}
	}
	w.columns = nil
}

// lag returns 1 where the days of a span go best with the neighbours' day
// before, so that they stand one day late; −1 where they stand early; else 0.
// Day-to-day changes are correlated, since the season would hide it. At least
// two neighbours of three must say so, or the only one, by a clear lead.
func (w *work) lag(e, from, to int) int {
	votes, all := [3]int{}, 0
	for _, s := range w.o.Neighbours {
		r := [3]float64{}
		known := true
		for l := -1; l <= 1; l++ {
			var ok bool
			if r[l+1], ok = w.correlate(s, e, [3]int{from, to, l}); !ok {
				known = false
			}
		}
		if !known {
			continue
		}
		all++
		const lead, least = 0.15, 0.4 // of correlation, our own choices
		best := 1
		for l := range r {
			if r[l] > r[best] {
				best = l
			}
		}
		if best == 1 || r[best]-r[1] < lead || r[best] < least {
			best = 1
		}
		votes[best]++
	}
	for l, n := range votes {
		if l != 1 && n > 0 && 3*n >= 2*all {
			return l - 1
		}
	}
	return 0
}

// correlate returns the correlation of day-to-day changes here with those of a
// neighbour so many days before; at = from, to, days.
func (w *work) correlate(s weather.Series, e int, at [3]int) (float64, bool) {
	const fewest = 90 // days
	var n, x, y, xx, xy, yy float64
	for i := at[0] + 1; i < at[1]; i++ {
		t, ok := w.value(i, e)
		b, okB := w.value(i-1, e)
		d := w.s.Start + weather.Date(i-at[2])
		u, okU := of(s.At(d), e)
		v, okV := of(s.At(d-1), e)
		if !ok || !okB || !okU || !okV {
			continue
		}
		p, q := u-v, t-b
		n++
		x += p
		y += q
		xx += p * p
		xy += p * q
		yy += q * q
	}
	sx, sy := xx-x*x/n, yy-y*y/n
	if n < fewest || !(sx > 0) || !(sy > 0) {
		return 0, false
	}
	return (xy - x*y/n) / math.Sqrt(sx*sy), true
}
