package chart

import (
	"fmt"
	"io"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
)

// Gain draws the nectar flow: what one hive gains each day, in one middling
// year, in the middle of all, and in the range of eight in ten. Where the cover
// of the stands is not known it counts in shares of the best day.
func Gain(w io.Writer, f forecast.Forecast, o Options) error {
	d := newDrawing(o)
	days, one, start := flowDays(f)
	unit := d.massUnit() + " a day, one hive"
	label := func(x float64) string { return number(x) }
	if f.Apiary.Relative {
		unit = "share of the best day"
		label = func(x float64) string { return share(x) }
	}
	factor := factorOf(days, one, f.Apiary.Relative, d.Options)
	days, one = scaled(days, factor), scaledOne(one, factor)
	y := edge + d.key(edge, edge, []sample{{"line", "one middling year"}, {"thin", "middle of all years"}, {"band", "eight years in ten"}})
	d.text(edge, y+lineFeed-2, atStart, "q", unit)
	marks := flowFlags(f, d.Options)
	p := plot{drawing: d, x: scale{float64(start), float64(start) + float64(len(days)-1), edge + axisWidth, d.width() - edge}}
	at := ticks(max(highest(days), top(one)), 4)
	above := y + lineFeed + edge + lineFeed*laneCount(marks, p.x, d.width())
	p.y = scale{0, at[len(at)-1], above + d.plotHeight(), above}
	p.amounts(at, label)
	p.months()
	p.band(start, days)
	p.curve("thin", start, forecast.Medians(days))
	p.curve("line", start, one)
	p.flags(marks)
	d.height = p.y.lo + lineFeed + edge
	return d.writeTo(w, "The nectar flow at "+f.Apiary.Name, flowWords(f, d.Options))
}

// plotHeight is the height of a plot of amounts, px.
func (d *drawing) plotHeight() float64 {
	if d.narrow() {
		return 150
	}
	return 190
}

// flowDays cuts the daily gains, smoothed over three days, to the part of the
// year with flow, and a little around it: all members, and the middling one.
func flowDays(f forecast.Forecast) (days []forecast.Spread, one []float64, start weather.Date) {
	all := smoothed(f.Daily.GainKg)
	first, last := len(all), 0
	for i, s := range all {
		if s[2] >= flow.FlowKgPerDay {
			first, last = min(first, i), max(last, i)
		}
	}
	one = make([]float64, len(all))
	for i, x := range flow.Smooth(f.Daily.OneKg) {
		one[i] = max(x, 0)
	}
	if first > last {
		return all, one, f.Daily.Start
	}
	const around = 14 // days
	first, last = max(first-around, 0), min(last+around, len(all)-1)
	return all[first : last+1], one[first : last+1], f.Daily.Start + weather.Date(first)
}

// smoothed takes the centred three-day mean of each quantile, by which flows
// are told, and what a colony eats on days without gain as no gain.
func smoothed(days []forecast.Spread) []forecast.Spread {
	out := make([]forecast.Spread, len(days))
	for q := range 3 {
		column := make([]float64, len(days))
		for i, s := range days {
			column[i] = max(s[q], 0)
		}
		for i, x := range flow.Smooth(column) {
			out[i][q] = x
		}
	}
	return out
}

// factorOf converts kg to the reader's unit, or to shares of the highest value.
func factorOf(days []forecast.Spread, one []float64, relative bool, o Options) float64 {
	if relative {
		return 1 / max(highest(days), top(one), 1e-9)
	}
	return o.mass(1)
}

func scaled(days []forecast.Spread, factor float64) []forecast.Spread {
	out := make([]forecast.Spread, len(days))
	for i, s := range days {
		out[i] = forecast.Spread{s[0] * factor, s[1] * factor, s[2] * factor}
	}
	return out
}

func scaledOne(x []float64, factor float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] * factor
	}
	return out
}

// top returns the highest value, 0 for none.
func top(x []float64) float64 {
	most := 0.0
	for _, v := range x {
		most = max(most, v)
	}
	return most
}

func highest(days []forecast.Spread) float64 {
	most := 0.0
	for _, s := range days {
		most = max(most, s[2])
	}
	return most
}

func flowFlags(f forecast.Forecast, o Options) []flag {
	m, ok := f.MainFlow()
	if !ok {
		return nil
	}
	return []flag{
		{m.Start.Likely, "main flow starts " + o.day(m.Start.Likely)},
		{m.End.Likely, "ends " + o.day(m.End.Likely)},
	}
}

func flowWords(f forecast.Forecast, o Options) string {
	words := ""
	for _, w := range f.Flows {
		words += fmt.Sprintf("The %s flow starts about %s and ends about %s, in %s of years: %s, %.0f effective days",
			w.Name, o.day(w.Start.Likely), o.day(w.End.Likely), share(w.Start.Share), w.Shape, w.EffectiveDays[1])
		if !w.Relative {
			words += fmt.Sprintf(", one hive gains %s to %s %s", number(o.mass(w.Kg[0])), number(o.mass(w.Kg[2])), o.massUnit())
		}
		words += ". "
	}
	if words == "" {
		return "No nectar flow is expected."
	}
	if f.Daily.OneYear == 0 {
		return words
	}
	return words + fmt.Sprintf("The strong line goes on as %d did, a year near the middle of them all. The thin line and the band sum up each day for itself, which wears single peaks down.", f.Daily.OneYear)
}
