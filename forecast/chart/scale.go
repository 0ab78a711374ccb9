package chart

import (
	"math"
	"strconv"
	"time"

	"bloomtide/ingest/weather"
)

// scale maps a range of numbers to a range of pixels.
type scale struct {
	from, to float64 // numbers
	lo, hi   float64 // pixels
}

// at returns the pixel of a number, within the scale's range.
func (s scale) at(x float64) float64 {
	if s.to <= s.from {
		return s.lo
	}
	share := min(max((x-s.from)/(s.to-s.from), 0), 1)
	return s.lo + share*(s.hi-s.lo)
}

// day returns the pixel of a date.
func (s scale) day(d weather.Date) float64 { return s.at(float64(d)) }

// perUnit returns the pixels of one.
func (s scale) perUnit() float64 { return math.Abs(s.hi-s.lo) / max(s.to-s.from, 1e-9) }

// niceSteps are the steps of an axis that people count in.
var niceSteps = []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}

// ticks returns round numbers from 0 up to most or just above, about n of them.
func ticks(most float64, n int) []float64 {
	step := niceSteps[len(niceSteps)-1]
	for _, s := range niceSteps {
		if most/s <= float64(n) {
			step = s
			break
		}
	}
	out := []float64{0}
	for i := 1; out[len(out)-1] < most && i <= 2*n; i++ {
		out = append(out, math.Round(float64(i)*step*10)/10)
	}
	if len(out) == 1 {
		out = append(out, step)
	}
	return out
}

// monthStarts returns the first days of the months within a range.
func monthStarts(from, to weather.Date) []weather.Date {
	var out []weather.Date
	y, m, _ := from.YMD()
	for {
		d := weather.YearMonthDay(y, m, 1)
		if d > to {
			return out
		}
		if d >= from {
			out = append(out, d)
		}
		if m++; m > time.December {
			y, m = y+1, time.January
		}
	}
}

// px writes a length in pixels to a tenth.
func px(x float64) string {
	return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', -1, 64) // +0 turns a negative zero
}

// emWidth is the mean width of a letter over the size of the type, of usual
// screen faces. Our own measure, on the wide side.
const (
	emWidth = 0.56
	fontPx  = 12.0

	boldness = 1.12 // how much wider the letters of a name are
)

// textPx estimates how wide a text is drawn.
func textPx(s string) float64 {
	n := 0
	for range s {
		n++
	}
	return emWidth * fontPx * float64(n)
}

// fit shortens a text to a width.
func fit(s string, width float64) string {
	most := max(int(width/(emWidth*fontPx)), 2)
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}
