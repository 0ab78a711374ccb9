package qc

import (
	"fmt"
	"math"

	"bloomtide/ingest/weather"
)

// limits rejects what no thermometer on earth has shown.
func limits(w *work) {
	for i := range w.s.Days {
		for e := range extremes {
			if t, ok := w.value(i, e); ok && !(t >= float64(weather.Coldest) && t <= float64(weather.Hottest)) {
				w.found(i, i+1, e, fmt.Sprintf("outside %.0f..%.0f °C", float64(weather.Coldest), float64(weather.Hottest)), notUsed)
			}
		}
	}
}

// upsideDown rejects both extremes of a day with the minimum above the maximum.
func upsideDown(w *work) {
	for i := range w.s.Days {
		low, okLow := w.value(i, 0)
		high, okHigh := w.value(i, 1)
		if okLow && okHigh && low > high {
			w.found(i, i+1, 0, fmt.Sprintf("above the maximum of %.1f °C", high), notUsed)
			w.found(i, i+1, 1, fmt.Sprintf("below the minimum of %.1f °C", low), notUsed)
		}
	}
}

// dayToDay reports minima above the maximum of the day beside: the temperature
// at midnight belongs to both days. A record that does so often is read at
// other hours, and gets one finding for all.
func dayToDay(w *work) {
	const apart, often, most = 1, 0.002, 10 // K (Durre et al. 2010); share of days and days, our choices
	var at, beside []int
	for i := range w.s.Days {
		low, ok := w.value(i, 0)
		for _, j := range []int{i - 1, i + 1} {
			if high, okHigh := w.value(j, 1); ok && okHigh && low-high >= apart-1e-9 {
				at, beside = append(at, i), append(beside, j)
				break
			}
		}
	}
	if n := len(at); n > most && float64(n) > often*float64(len(w.s.Days)) {
		w.found(at[0], at[n-1]+1, 0, fmt.Sprintf("on %d days the minimum lies above the maximum of the day beside it: minimum and maximum are read at other hours", n), look)
		return
	}
	for k, i := range at {
		high, _ := w.value(beside[k], 1)
		w.found(i, i+1, 0, fmt.Sprintf("above the maximum of %.1f °C on %s", high, w.s.Start+weather.Date(beside[k])), look)
	}
}

// bothZero rejects days on which both extremes are 0 °C or 0 °F, as a blank
// form is often keyed, where the month is hardly ever so: neither value within
// two standard deviations of its month.
func bothZero(w *work) {
	const zeroF = -17.8 // °C, 0 °F
	const far = 2       // standard deviations, our choice
	months := monthly(w)
	for i := range w.s.Days {
		low, okLow := w.value(i, 0)
		high, okHigh := w.value(i, 1)
		if !okLow || !okHigh || low != high || low != 0 && math.Abs(low-zeroF) > 0.03 {
			continue
		}
		m := w.month(i)
		if months[0][m].z(low) > far && months[1][m].z(high) > far {
			w.found(i, i+1, 0, "both extremes are zero, far from the month's usual", notUsed)
			w.found(i, i+1, 1, "both extremes are zero, far from the month's usual", notUsed)
		}
	}
}

// repeated rejects runs of one value. Missing days do not break a run.
func repeated(w *work) {
	const longest = 20 // days (Durre et al. 2010)
	for e := range extremes {
		first, last, n := -1, -1, 0
		run := math.NaN()
		end := func() {
			if n >= longest {
				w.found(first, last+1, e, fmt.Sprintf("the same on %d days running", n), "they are not used")
			}
		}
		for i := range w.s.Days {
			t, ok := w.value(i, e)
			switch {
			case !ok:
			case t == run:
				n, last = n+1, i
			default:
				end()
				run, first, last, n = t, i, i, 1
			}
		}
		end()
	}
}

// copied reports months of which every day stands in another month too.
func copied(w *work) {
	const fewest = 20 // days with a value
	for e := range extremes {
		seen := map[string]int{}
		for i := 0; i < len(w.s.Days); {
			_, _, d := (w.s.Start + weather.Date(i)).YMD()
			to := min(len(w.s.Days), i+w.monthDays(i)-d+1)
			var key []byte
			n, varied := 0, false
			before := math.NaN()
			for j := i; j < to; j++ {
				t, ok := w.value(j, e)
				if !ok {
					key = append(key, '|')
					continue
				}
				varied = varied || !math.IsNaN(before) && t != before
				before = t
				n++
				key = fmt.Appendf(key, "%.1f|", t)
			}
			if n >= fewest && varied {
				if was, dup := seen[string(key)]; dup {
					w.found(i, to, e, fmt.Sprintf("%d days as in the month of %s", n, w.s.Start+weather.Date(was)),
						"they are used; take one of the two months out")
				} else {
					seen[string(key)] = i
				}
			}
			i = to
		}
	}
}

func (w *work) monthDays(i int) int {
	y, m, _ := (w.s.Start + weather.Date(i)).YMD()
	return weather.DaysIn(y, m)
}

// spike rejects values far from both days beside them, to the same side.
func spike(w *work) {
	const jump = 25 // K (Durre et al. 2010)
	for e := range extremes {
		for i := range w.s.Days {
			t, ok := w.value(i, e)
			before, okB := w.value(i-1, e)
			after, okA := w.value(i+1, e)
			if !ok || !okB || !okA {
				continue
			}
			a, b := t-before, t-after
			if math.Abs(a) >= jump && math.Abs(b) >= jump && (a > 0) == (b > 0) {
				w.found(i, i+1, e, fmt.Sprintf("%.1f °C the day before, %.1f °C the day after", before, after), notUsed)
			}
		}
	}
}

// step reports jumps that stay.
func step(w *work) {
	const jump = 25 // K
	for e := range extremes {
		for i := range w.s.Days {
			t, ok := w.value(i, e)
			before, okB := w.value(i-1, e)
			if ok && okB && math.Abs(t-before) >= jump {
				w.found(i, i+1, e, fmt.Sprintf("%.1f °C the day before", before), look)
			}
		}
	}
}

// lagRange reports maxima far above the lowest minimum of three days, and
// minima far below the highest maximum.
func lagRange(w *work) {
	const apart = 40 // K (Durre et al. 2010)
	for i := range w.s.Days {
		low, high := math.Inf(1), math.Inf(-1)
		for j := i - 1; j <= i+1; j++ {
			if t, ok := w.value(j, 0); ok {
				low = min(low, t)
			}
			if t, ok := w.value(j, 1); ok {
				high = max(high, t)
			}
		}
		if t, ok := w.value(i, 1); ok && t-low >= apart {
			w.found(i, i+1, 1, fmt.Sprintf("the lowest minimum of the days about it is %.1f °C", low), look)
		}
		if t, ok := w.value(i, 0); ok && high-t >= apart {
			w.found(i, i+1, 0, fmt.Sprintf("the highest maximum of the days about it is %.1f °C", high), look)
		}
	}
}
