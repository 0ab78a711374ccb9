package chart

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"

	"bloomtide/forecast"
)

// LeadErrors are the errors of forecasts made so many days ahead.
type LeadErrors struct {
	LeadDays int       // lead time, days
	Errors   []float64 // forecast less observed, days: above 0 is forecast too late; finite
}

// LeadTime draws error against lead time: for each lead time the range of
// eight forecasts in ten as an upright bar and the middle one as a dot. Lead
// times without an error are left out.
//
//	what  whose date was forecast, such as "first bloom of apple"
func LeadTime(w io.Writer, what string, all []LeadErrors, o Options) error {
	d := newDrawing(o)
	all = slices.DeleteFunc(slices.Clone(all), func(l LeadErrors) bool { return len(l.Errors) == 0 })
	slices.SortStableFunc(all, func(a, b LeadErrors) int { return cmp.Compare(a.LeadDays, b.LeadDays) })
	spreads := make([]forecast.Spread, len(all))
	reach, longest := 1.0, 1.0
	for i, l := range all {
		spreads[i] = forecast.NewSpread(l.Errors)
		reach = max(reach, math.Abs(spreads[i][0]), math.Abs(spreads[i][2]))
		longest = max(longest, float64(l.LeadDays))
	}
	y := edge + d.key(edge, edge, []sample{{"band", "eight forecasts in ten"}, {"fill", "the middle one"}})
	d.text(edge, y+lineFeed-2, atStart, "q", "days too late (above 0) or too early")
	at := ticks(reach, 3)
	most := at[len(at)-1]
	top := y + lineFeed + edge
	p := plot{drawing: d, x: scale{0, longest, edge + axisWidth + edge, d.width() - 3*edge}, y: scale{-most, most, top + d.plotHeight(), top}}
	p.signed(at)
	for i, l := range all {
		p.leadBar(float64(l.LeadDays), spreads[i])
	}
	p.leads(all)
	d.text(d.width()-edge, p.y.lo+2*lineFeed, atEnd, "q", "lead time, days before")
	d.height = p.y.lo + 2*lineFeed + edge
	return d.writeTo(w, "Error against lead time: "+what, leadWords(all, spreads))
}

// signed draws an axis of amounts on both sides of 0.
func (p plot) signed(at []float64) {
	for _, t := range at {
		for _, v := range slices.Compact([]float64{t, -t}) { // one 0
			p.line("rule", p.x.lo-edge, p.y.at(v), p.x.hi+edge, p.y.at(v))
			label := "0"
			if t > 0 {
				label = fmt.Sprintf("%+.4g", v)
			}
			p.text(p.x.lo-edge-5, p.y.at(v)+4, atEnd, "q", label)
		}
	}
	p.line("axis", p.x.lo-edge, p.y.at(0), p.x.hi+edge, p.y.at(0))
}

func (p plot) leadBar(lead float64, s forecast.Spread) {
	const half = 5
	x := p.x.at(lead)
	p.box("band", x-half, p.y.at(s[2]), 2*half, p.y.at(s[0])-p.y.at(s[2]))
	p.box("fill", x-half-2, p.y.at(s[1])-1.5, 2*half+4, 3)
}

// leads names the lead times, leaving out those whose names would touch.
func (p plot) leads(all []LeadErrors) {
	last := -p.width()
	for _, l := range all {
		name := fmt.Sprint(l.LeadDays)
		x := p.x.at(float64(l.LeadDays))
		if x-last < textPx(name)+edge {
			continue
		}
		p.text(x, p.y.lo+lineFeed, atMiddle, "q", name)
		last = x
	}
}

func leadWords(all []LeadErrors, spreads []forecast.Spread) string {
	if len(all) == 0 {
		return "No forecast was compared with what was observed."
	}
	words := ""
	for i, l := range all {
		words += fmt.Sprintf("%d days before: %+.0f days in the middle, %+.0f to %+.0f in eight of ten, of %d forecasts. ",
			l.LeadDays, spreads[i][1], spreads[i][0], spreads[i][2], len(l.Errors))
	}
	return words + "Above 0 is forecast too late."
}
