package chart

import (
	"cmp"
	"slices"
	"time"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// plot is the part of a drawing between its axes.
type plot struct {
	*drawing
	x, y scale
}

// Room around a plot, px.
const (
	edge      = 8.0
	lineFeed  = 16.0
	axisWidth = 34.0 // numbers left of the plot
)

// months draws the days' axis at the bottom of the plot: a rule and a name a
// month, each second name where there is little room.
func (p plot) months() {
	top, bottom := p.y.hi, p.y.lo
	for _, m := range monthStarts(weather.Date(p.x.from), weather.Date(p.x.to)) {
		x := p.x.day(m)
		p.line("rule", x, top, x, bottom)
		const monthDays, gap = 30.4, 8
		name := m.Time().Format("Jan")
		if long := m.Time().Format("Jan 2006"); m.Time().Month() == time.January && p.x.perUnit()*monthDays > textPx(long)+gap {
			name = long
		}
		if room := p.x.perUnit() * monthDays; room < textPx(name)+gap && m.Time().Month()%2 == 0 {
			continue
		}
		if x+textPx(name)/2 <= p.width() {
			p.text(max(x, textPx(name)/2), bottom+lineFeed-2, atMiddle, "q", name)
		}
	}
	p.line("axis", p.x.lo, bottom, p.x.hi, bottom)
}

// amounts draws the axis of amounts at the left of the plot, with a label for
// each of its ticks.
func (p plot) amounts(at []float64, label func(float64) string) {
	for _, t := range at {
		y := p.y.at(t)
		if t > 0 {
			p.line("rule", p.x.lo, y, p.x.hi, y)
		}
		p.text(p.x.lo-5, y+4, atEnd, "q", label(t))
	}
}

// band draws the area between the low and the high value of each day.
func (p plot) band(start weather.Date, days []forecast.Spread) {
	if len(days) == 0 {
		return
	}
	up, down := make([]point, 0, len(days)), make([]point, 0, len(days))
	for i, s := range days {
		x := p.x.day(start + weather.Date(i))
		up, down = append(up, point{x, p.y.at(s[2])}), append(down, point{x, p.y.at(s[0])})
	}
	slices.Reverse(down)
	p.path("band", through(up)+"L"+through(down)[1:]+"Z")
}

// curve draws one value a day, as a "line" or a "thin" one.
func (p plot) curve(class string, start weather.Date, days []float64) {
	if len(days) == 0 {
		return
	}
	pts := make([]point, len(days))
	for i, x := range days {
		pts[i] = point{p.x.day(start + weather.Date(i)), p.y.at(x)}
	}
	p.path(class, through(pts))
}

// ribbon draws a share of 0 to 1 for each day as the thickness of a ribbon
// about a level, at most thick px.
func (p plot) ribbon(start weather.Date, shares []float64, level, thick float64) {
	first := slices.IndexFunc(shares, func(s float64) bool { return s > 0 })
	for first >= 0 {
		n := slices.IndexFunc(shares[first:], func(s float64) bool { return s == 0 })
		if n < 0 {
			n = len(shares) - first
		}
		var up, down []point
		for i, s := range shares[first : first+n] {
			x := p.x.day(start + weather.Date(first+i))
			up, down = append(up, point{x, level - s*thick/2}), append(down, point{x, level + s*thick/2})
		}
		slices.Reverse(down)
		p.path("fill", through(up)+"L"+through(down)[1:]+"Z")
		next := slices.IndexFunc(shares[first+n:], func(s float64) bool { return s > 0 })
		if next < 0 {
			return
		}
		first += n + next
	}
}

// flag is a day with words.
type flag struct {
	day  weather.Date
	text string
}

// flags draws upright lines with their words above the plot, each in the
// first lane that has room; laneCount tells how many that takes.
func (p plot) flags(all []flag) {
	lanes := placeFlags(all, p.x, p.width())
	for i, f := range all {
		y := p.y.hi - 6 - float64(lanes[i])*lineFeed
		x := p.x.day(f.day)
		p.line("flag", x, y-9, x, p.y.lo)
		at, anchor := x+4, atStart
		if at+textPx(f.text) > p.width()-edge {
			at, anchor = x-4, atEnd
		}
		p.text(at, y, anchor, "", f.text)
	}
}

// placeFlags returns a lane for each flag, 0 the lowest, so that no words
// overlap and no line crosses words. The later day goes first: its line then
// ends below the words of the earlier one, which reach over it.
func placeFlags(all []flag, x scale, width float64) []int {
	type taken struct{ from, to float64 }
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[b].day, all[a].day) })
	var lanes [][]taken
	out := make([]int, len(all))
	for _, i := range order {
		at, size := x.day(all[i].day), textPx(all[i].text)
		t := taken{at - 3, at + size + 10}
		if t.from+size+7 > width-edge {
			t = taken{at - size - 10, at + 3}
		}
		lane := 0
		for lane < len(lanes) && slices.ContainsFunc(lanes[lane], func(o taken) bool { return o.from < t.to && t.from < o.to }) {
			lane++
		}
		if lane == len(lanes) {
			lanes = append(lanes, nil)
		}
		lanes[lane] = append(lanes[lane], t)
		out[i] = lane
	}
	return out
}

// laneCount returns the lanes that flags take.
func laneCount(all []flag, x scale, width float64) float64 {
	lanes := placeFlags(all, x, width)
	if len(lanes) == 0 {
		return 0
	}
	return float64(slices.Max(lanes) + 1)
}

// sample is one entry of a key.
type sample struct {
	mark string // "line", "thin", "step", "flag", "limit", "band", "fill" or hatched
	text string
}

// key explains the marks, from left to right and on to the next line where one
// is full. It returns the height it took.
func (d *drawing) key(x, y float64, all []sample) float64 {
	const swatch, gap, between = 22.0, 6.0, 14.0
	at, top := x, y
	for _, s := range all {
		need := swatch + gap + textPx(s.text)
		if at > x && at+need > d.width()-edge {
			at, y = x, y+lineFeed
		}
		mid := y + lineFeed/2
		switch s.mark {
		case "line", "thin", "step", "limit":
			d.line(s.mark, at, mid, at+swatch, mid)
		case "flag":
			d.line(s.mark, at+swatch/2, mid-6, at+swatch/2, mid+6)
		default:
			d.box(s.mark, at, mid-5, swatch, 10)
		}
		d.text(at+swatch+gap, mid+4, atStart, "", s.text)
		at += need + between
	}
	return y + lineFeed - top
}
