package chart

import (
	"fmt"
	"io"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
)

// Gain draws the nectar flow: what one hive gains each day, the middle of the
// years and the range of eight in ten. Where the cover of the stands is not
// known it counts in shares of the best day.
func Gain(w io.Writer, f forecast.Forecast, o Options) error {
	d := newDrawing(o)
	days, start := flowDays(f)
	unit := d.massUnit() + " a day, one hive"
	label := func(x float64) string { return number(x) }
	if f.Apiary.Relative {
		unit = "share of the best day"
		label = func(x float64) string { return share(x) }
	}
	days = inUnits(days, f.Apiary.Relative, d.Options)
	y := edge + d.key(edge, edge, []sample{{"line", "middle of the years"}, {"band", "eight years in ten"}})
	d.text(edge, y+lineFeed-2, atStart, "q", unit)
	marks := flowFlags(f, d.Options)
	p := plot{drawing: d, x: scale{float64(start), float64(start) + float64(len(days)-1), edge + axisWidth, d.width() - edge}}
	at := ticks(highest(days), 4)
	top := y + lineFeed + edge + lineFeed*laneCount(marks, p.x, d.width())
	p.y = scale{0, at[len(at)-1], top + d.plotHeight(), top}
	p.amounts(at, label)
	p.months()
	p.band(start, days)
	p.curve(start, days)
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
// year with flow, and a little around it.
func flowDays(f forecast.Forecast) (days []forecast.Spread, start weather.Date) {
	all := smoothed(f.Daily.GainKg)
	first, last := len(all), 0
	for i, s := range all {
		if s[2] >= flow.FlowKgPerDay {
			first, last = min(first, i), max(last, i)
		}
	}
	if first > last {
		return all, f.Daily.Start
	}
	const around = 14 // days
	first, last = max(first-around, 0), min(last+around, len(all)-1)
	return all[first : last+1], f.Daily.Start + weather.Date(first)
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

// inUnits converts kg to the reader's unit, or to shares of the highest value.
func inUnits(days []forecast.Spread, relative bool, o Options) []forecast.Spread {
	factor := o.mass(1)
	if relative {
		factor = 1 / max(highest(days), 1e-9)
	}
	out := make([]forecast.Spread, len(days))
	for i, s := range days {
		out[i] = forecast.Spread{s[0] * factor, s[1] * factor, s[2] * factor}
	}
	return out
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
	return words + "Each day is summarised for itself, so a single year has higher peaks and deeper gaps than the middle line."
}
