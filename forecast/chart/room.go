package chart

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// superDay is a super of the plan.
type superDay struct {
	n   int
	day weather.Date
}

// Room draws the comb that honey and ripening nectar want above the excluder
// against the supers that the plan puts on, counted in supers. The supers of
// the plan are those that at least half of the years ask for.
func Room(w io.Writer, f forecast.Forecast, o Options) error {
	d := newDrawing(o)
	r := roomOf(f)
	y := edge + d.key(edge, edge, []sample{{"step", "supers on, by the plan"}, {"line", "comb wanted, middle of the years"}, {"band", "eight years in ten"}})
	d.text(edge, y+lineFeed-2, atStart, "q", "supers")
	marks := r.flags(d.Options)
	p := plot{drawing: d, x: scale{float64(r.start), float64(r.start) + float64(len(r.need)-1), edge + axisWidth, d.width() - edge}}
	at := ticks(max(highest(r.need), float64(len(r.supers)), 1), 6)
	at = whole(at)
	top := y + lineFeed + edge + lineFeed*laneCount(marks, p.x, d.width())
	p.y = scale{0, at[len(at)-1], top + d.plotHeight() + lineFeed, top}
	p.amounts(at, number)
	p.months()
	p.band(r.start, r.need)
	p.curve("line", r.start, forecast.Medians(r.need))
	p.stair(r)
	p.flags(marks)
	d.height = p.y.lo + lineFeed + edge
	return d.writeTo(w, "Room for honey at "+f.Apiary.Name, r.words(d.Options))
}

// room is the chart's content.
type room struct {
	need   []forecast.Spread // in supers
	start  weather.Date
	supers []superDay
	off    weather.Date // supers off, 0 for never
}

func roomOf(f forecast.Forecast) room {
	var r room
	year := f.Measures.Year
	for _, t := range f.Tasks {
		switch {
		case t.Year != year:
		case t.Kind == hive.SuperOn && t.Window.Share >= 0.5:
			r.supers = append(r.supers, superDay{t.N, t.Window.Likely})
		case t.Kind == hive.SupersOff:
			r.off = t.Window.Likely
		}
	}
	area := f.Apiary.Setup.WithDefaults().Super.AreaDm2()
	first, last := f.Daily.Len(), 0
	all := make([]forecast.Spread, f.Daily.Len())
	for i, s := range f.Daily.NeedDm2 {
		all[i] = forecast.Spread{s[0] / area, s[1] / area, s[2] / area}
		if s[2] > 0 {
			first, last = min(first, i), max(last, i)
		}
	}
	r.cut(f.Daily.Start, all, first, last)
	return r
}

// cut keeps the days from first to last, those of the supers, and a little
// around them.
func (r *room) cut(start weather.Date, all []forecast.Spread, first, last int) {
	const around = 28 // days
	if first > last {
		first, last = 0, len(all)-1
	}
	for _, s := range r.supers {
		first = min(first, int(s.day-start))
	}
	if r.off != 0 {
		last = min(last, int(r.off-start))
	}
	first, last = max(first-around, 0), min(max(last, first)+around/2, len(all)-1)
	r.need, r.start = all[first:last+1], start+weather.Date(first)
}

// whole keeps the ticks that are whole numbers, since supers are.
func whole(at []float64) []float64 {
	out := at[:0]
	for _, t := range at {
		if t == math.Trunc(t) {
			out = append(out, t)
		}
	}
	if len(out) < 2 {
		return []float64{0, 1}
	}
	return out
}

// stair draws the supers on as a flight of steps, each with its number and
// date left of it.
func (p plot) stair(r room) {
	if len(r.supers) == 0 {
		return
	}
	end := weather.Date(p.x.to)
	if r.off != 0 {
		end = min(end, r.off)
	}
	pts := []point{{p.x.lo, p.y.at(0)}}
	for i, s := range r.supers {
		x, y := p.x.day(s.day), p.y.at(float64(i+1))
		pts = append(pts, point{x, p.y.at(float64(i))}, point{x, y})
		p.stepWords(s, x, y)
	}
	top := p.y.at(float64(len(r.supers)))
	pts = append(pts, point{p.x.day(end), top})
	if r.off != 0 {
		pts = append(pts, point{p.x.day(end), p.y.at(0)})
	}
	var data strings.Builder
	for i, q := range pts { // straight, so that a level run keeps its corners
		lead := "L"
		if i == 0 {
			lead = "M"
		}
		data.WriteString(lead + px(q.x) + " " + px(q.y))
	}
	p.path("step", data.String())
}

func (p plot) stepWords(s superDay, x, y float64) {
	words := fmt.Sprintf("super %d, %s", s.n, p.Options.day(s.day))
	if p.narrow() {
		words = fmt.Sprintf("%d: %s", s.n, p.Options.day(s.day))
	}
	if x-4-textPx(words) < p.x.lo {
		p.text(x+4, y-4, atStart, "", words)
		return
	}
	p.text(x-4, y+5, atEnd, "", words)
}

func (r room) flags(o Options) []flag {
	if r.off == 0 {
		return nil
	}
	return []flag{{r.off, "supers off " + o.day(r.off)}}
}

func (r room) words(o Options) string {
	most := forecast.Spread{}
	for _, s := range r.need {
		most = forecast.Spread{max(most[0], s[0]), max(most[1], s[1]), max(most[2], s[2])}
	}
	words := fmt.Sprintf("At its height the comb wanted above the excluder is %s supers in the middle of the years, and from %s to %s in eight years of ten.",
		number(most[1]), number(most[0]), number(most[2]))
	for _, s := range r.supers {
		words += fmt.Sprintf(" Super %d goes on about %s.", s.n, o.day(s.day))
	}
	if r.off != 0 {
		words += " Supers come off about " + o.day(r.off) + "."
	}
	return words
}
