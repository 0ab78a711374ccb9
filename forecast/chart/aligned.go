package chart

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// Axis is the time axis on which places are aligned.
type Axis uint8

// Places are aligned by the day of the year, or by days since the likely start
// of the main flow.
const (
	DayOfYear Axis = iota
	SinceStart
)

// ParseAxis reads "day" or "flow".
func ParseAxis(s string) (Axis, error) {
	switch strings.ToLower(s) {
	case "", "day":
		return DayOfYear, nil
	case "flow":
		return SinceStart, nil
	}
	return DayOfYear, fmt.Errorf("unknown time axis %q; use day or flow", s)
}

// panel is one place of the aligned charts.
type panel struct {
	place  forecast.Compared
	days   []forecast.Spread // in the reader's unit
	one    []float64         // the middling year, likewise
	from   float64           // first day on the common axis
	origin weather.Date      // day 0 of the common axis at this place
}

// Aligned draws the nectar flows of several places below each other on one
// time axis and, where amounts are known, on one scale.
func Aligned(w io.Writer, c forecast.Comparison, axis Axis, o Options) error {
	d := newDrawing(o)
	panels := panelsOf(c, axis, d.Options)
	from, to, most := extents(panels)
	y := edge + d.key(edge, edge, []sample{{"line", "one middling year"}, {"thin", "middle of all years"}, {"band", "eight years in ten"}, {"flag", "likely start and end of the main flow"}})
	d.text(edge, y+lineFeed-2, atStart, "q", d.massUnit()+" a day, one hive")
	y += lineFeed
	at := ticks(most, 2)
	var p plot
	for _, one := range panels {
		p = plot{drawing: d, x: scale{from, to, edge + axisWidth, d.width() - edge}}
		y = p.panel(one, y, at)
	}
	if axis == SinceStart {
		p.sinceStart(y - lineFeed)
	}
	d.height = y + lineFeed + edge
	if axis == SinceStart {
		d.height += lineFeed
	}
	return d.writeTo(w, "Nectar flows compared", alignedWords(c, d.Options))
}

func panelsOf(c forecast.Comparison, axis Axis, o Options) []panel {
	out := make([]panel, len(c.Places))
	for i, place := range c.Places {
		days, one, start := flowDays(place.Forecast)
		origin := weather.YearMonthDay(start.Year(), 1, 1)
		if place.HasFlow {
			origin = weather.YearMonthDay(place.Main.Start.Likely.Year(), 1, 1)
			if axis == SinceStart {
				origin = place.Main.Start.Likely
			}
		}
		factor := factorOf(days, one, !place.Known(), o)
		out[i] = panel{place, scaled(days, factor), scaledOne(one, factor), float64(start - origin), origin}
	}
	return out
}

// extents returns the range of the common axis and the highest known amount.
func extents(all []panel) (from, to, most float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, p := range all {
		from, to = min(from, p.from), max(to, p.from+float64(len(p.days)-1))
		if p.place.Known() {
			most = max(most, highest(p.days), top(p.one))
		}
	}
	return from, to, most
}

// panel draws one place below y and returns where it ends.
func (p plot) panel(one panel, y float64, at []float64) float64 {
	const height = 84.0
	p.text(edge, y+lineFeed, atStart, "name", fit(one.place.Forecast.Apiary.Name, (p.width()-2*edge)/boldness))
	y += lineFeed
	if one.place.HasFlow {
		m := one.place.Main
		p.text(edge, y+lineFeed-1, atStart, "q", fmt.Sprintf("%s, %s, %.0f effective days", p.Options.span(m.Start, m.End), m.Shape, m.EffectiveDays[1]))
	}
	y += lineFeed + edge
	bottom := y + height
	if one.place.Known() {
		p.y = scale{0, at[len(at)-1], bottom, y}
		p.amounts(at, number)
	} else {
		p.y = scale{0, 1, bottom, y}
		p.amounts([]float64{0, 1}, share)
	}
	local := p // the same pixels, counted in the place's own dates
	local.x.from += float64(one.origin)
	local.x.to += float64(one.origin)
	start := one.origin + weather.Date(one.from)
	local.grid(one)
	local.band(start, one.days)
	local.curve("thin", start, forecast.Medians(one.days))
	local.curve("line", start, one.one)
	if one.place.HasFlow {
		for _, day := range []weather.Date{one.place.Main.Start.Likely, one.place.Main.End.Likely} {
			p.line("flag", local.x.day(day), y, local.x.day(day), bottom)
		}
	}
	return bottom + lineFeed
}

// grid draws the months, or only the base line where days are counted from
// the flow and months would not line up.
func (p plot) grid(one panel) {
	if one.place.HasFlow && one.origin == one.place.Main.Start.Likely {
		p.line("axis", p.x.lo, p.y.lo, p.x.hi, p.y.lo)
		return
	}
	p.months()
}

// sinceStart names the days since the start of the flow below the last panel,
// which ends at bottom.
func (p plot) sinceStart(bottom float64) {
	const step = 20
	for t := math.Ceil(p.x.from/step) * step; t <= p.x.to; t += step {
		p.text(p.x.at(t), bottom+lineFeed-2, atMiddle, "q", fmt.Sprintf("%.0f", t+0))
	}
	p.text(p.x.hi, bottom+2*lineFeed-2, atEnd, "q", "days since the main flow starts")
}

func alignedWords(c forecast.Comparison, o Options) string {
	var words []string
	for _, p := range c.Places {
		name := p.Forecast.Apiary.Name
		if !p.HasFlow {
			words = append(words, name+": no main flow.")
			continue
		}
		m := p.Main
		words = append(words, fmt.Sprintf("%s: main flow %s, %s, %.0f effective days, in %s of years.",
			name, o.span(m.Start, m.End), m.Shape, m.EffectiveDays[1], share(m.Start.Share)))
	}
	return strings.Join(words, " ")
}
