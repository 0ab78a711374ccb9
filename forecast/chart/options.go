package chart

import (
	"fmt"
	"math"
	"strings"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// Options say for whom a chart is drawn.
type Options struct {
	ID      string // leads every id inside, so that charts can share a page: a letter, then letters, digits, hyphens; default "chart"
	WidthPx int    // width, CSS pixels, at least 280; default 720, which fits A4 and Letter; 340 fits a phone
	US      bool   // dates and masses as in the United States
	Bare    bool   // without style sheet of its own: the page has CSS()
}

// The widths that charts are drawn for, CSS pixels.
const (
	Wide       = 720
	Narrow     = 340
	narrowest  = 280
	narrowUpTo = 500 // below it labels go above their row
)

func (o Options) withDefaults() Options {
	if o.ID == "" {
		o.ID = "chart"
	}
	if o.WidthPx == 0 {
		o.WidthPx = Wide
	}
	o.WidthPx = max(o.WidthPx, narrowest)
	return o
}

func (o Options) narrow() bool { return o.WidthPx < narrowUpTo }

// day writes day and month.
func (o Options) day(d weather.Date) string {
	if o.US {
		return d.Time().Format("Jan 2")
	}
	return d.Time().Format("2 Jan")
}

// span writes the likely first and last day.
func (o Options) span(a, b forecast.Window) string {
	return o.day(a.Likely) + " – " + o.day(b.Likely)
}

// kgPerLb is exact by definition of the international pound.
const kgPerLb = 0.45359237

// mass converts kg to the reader's unit; massUnit names it.
func (o Options) mass(kg float64) float64 {
	if o.US {
		return kg / kgPerLb
	}
	return kg
}

func (o Options) massUnit() string {
	if o.US {
		return "lb"
	}
	return "kg"
}

// number writes a quantity with two figures, so that an estimate does not look
// exact.
func number(x float64) string {
	if math.Abs(x) >= 10 {
		return fmt.Sprintf("%.0f", x)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
}

// share writes a share of 0 to 1.
func share(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }
