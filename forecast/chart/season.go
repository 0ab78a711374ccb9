package chart

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// row is one line of the season ribbon.
type row struct {
	name, dates string
	open        []float64 // share of members in bloom on each day, nil for a flow
	flow        *forecast.FlowWindow
}

// Season draws the season ribbon: a ribbon for each plant, as thick on each
// day as the share of years in which the plant is then in bloom, and below
// them the nectar flows.
func Season(w io.Writer, f forecast.Forecast, o Options) error {
	d := newDrawing(o)
	rows := seasonRows(f, d.Options)
	const thick = 14.0
	pitch, gutter := 24.0, 0.0
	if d.narrow() {
		pitch = 36
	} else {
		gutter = nameGutter(rows)
	}
	keyHeight := d.key(edge, edge, []sample{{"fill", "in bloom; thick as the share of years"}, {hatched, "likely nectar flow; outline: early to late"}})
	top := edge + keyHeight + edge
	p := plot{drawing: d,
		x: scale{float64(f.Daily.Start), float64(f.Daily.Start) + float64(f.Daily.Len()-1), edge + gutter, d.width() - edge},
		y: scale{0, 1, top + pitch*float64(len(rows)), top},
	}
	p.months()
	for i, r := range rows {
		y := top + pitch*float64(i)
		level := y + pitch - thick/2 - 4
		p.rowWords(r, y, level, gutter)
		if r.flow != nil {
			p.flowBar(*r.flow, level, thick)
		} else {
			p.ribbon(f.Daily.Start, r.open, level, thick)
		}
	}
	d.height = p.y.lo + lineFeed + edge
	return d.writeTo(w, "What blooms when at "+f.Apiary.Name, seasonWords(rows, d.Options, f.Issue))
}

// nameGutter is the room that names need left of the plot, px.
func nameGutter(rows []row) float64 {
	const most = 190
	size := 0.0
	for _, r := range rows {
		size = max(size, boldness*textPx(r.name))
	}
	return min(size, most) + edge
}

func seasonRows(f forecast.Forecast, o Options) []row {
	var rows []row
	some := slices.ContainsFunc(f.Blooms, func(b forecast.BloomWindow) bool { return b.Feeds })
	for i, b := range f.Blooms {
		if some && !b.Feeds || b.First.Share == 0 || i >= len(f.Daily.Blooms) || b.First.Likely > f.Issue+weather.Date(f.Daily.Len()) {
			continue
		}
		r := row{name: b.Plant, dates: o.span(b.First, b.End), open: f.Daily.Blooms[i].Share}
		if b.First.Share < certain {
			r.dates += o.odds(b.First.Share)
		}
		rows = append(rows, r)
	}
	for _, w := range f.Flows {
		r := row{name: w.Name + " nectar flow", dates: o.span(w.Start, w.End), flow: &w}
		if w.Start.Share < certain {
			r.dates += o.odds(w.Start.Share)
		}
		rows = append(rows, r)
	}
	return rows
}

// certain is the share above which odds read as 100 %.
const certain = 0.995

// odds says in how many years, shortly where there is little room.
func (o Options) odds(of float64) string {
	if o.narrow() {
		return ", " + share(of)
	}
	return ", in " + share(of) + " of years"
}

// rowWords writes name and dates: above the row where it is narrow, else the
// name in the gutter and the dates behind the ribbon or before it.
func (p plot) rowWords(r row, y, level, gutter float64) {
	if gutter == 0 {
		room := p.width() - 2*edge - textPx(r.dates) - edge
		p.text(edge, y+lineFeed-4, atStart, "name", fit(r.name, room/boldness))
		p.text(p.width()-edge, y+lineFeed-4, atEnd, "q", r.dates)
		return
	}
	p.text(edge, level+4, atStart, "name", fit(r.name, (gutter-edge)/boldness))
	first, last := p.extent(r)
	if last+edge+textPx(r.dates) < p.width()-edge {
		p.text(last+edge, level+4, atStart, "q", r.dates)
		return
	}
	p.text(max(first-edge, p.x.lo+textPx(r.dates)), level+4, atEnd, "q", r.dates)
}

// extent returns where the mark of a row begins and ends, px. A plant that
// blooms at both ends of the year counts with its first bloom.
func (p plot) extent(r row) (first, last float64) {
	if r.flow != nil {
		return p.x.day(r.flow.Start.Early), p.x.day(r.flow.End.Late)
	}
	first, last = p.x.lo, p.x.lo
	begun, idle := false, 0
	for i, s := range r.open {
		if s == 0 {
			if idle++; begun && idle > apartDays {
				break
			}
			continue
		}
		x := p.x.at(p.x.from + float64(i))
		if !begun {
			first, begun = x, true
		}
		last, idle = x, 0
	}
	return first, last
}

// apartDays without an open flower part one year's bloom from the next.
const apartDays = 60

// flowBar draws a flow: from early start to late end in outline, from likely
// start to likely end hatched.
func (p plot) flowBar(w forecast.FlowWindow, level, thick float64) {
	from, to := p.x.day(w.Start.Early), p.x.day(w.End.Late)
	p.box("axis", from, level-thick/2, to-from, thick)
	from, to = p.x.day(w.Start.Likely), p.x.day(w.End.Likely)
	p.box(hatched, from, level-thick/2, to-from, thick)
}

func seasonWords(rows []row, o Options, issue weather.Date) string {
	words := []string{fmt.Sprintf("Twelve months from %s %d, each row from first to end of bloom, by the middle of the years.", o.day(issue), issue.Year())}
	for _, r := range rows {
		words = append(words, r.name+": "+r.dates+".")
	}
	return strings.Join(words, " ")
}
