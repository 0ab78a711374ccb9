package report

import (
	"fmt"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// A strip is a chart of letters: a line a plant, a cell a week, each bar as
// high as the share of years. It needs a screen that shows block elements
// (Unicode block 2580 to 259F) and no colour.

// Measures of a strip, cells.
const (
	stripIndent = 2
	stripName   = 19
	mostWeeks   = 53 // a year and a day
	leastWeeks  = 26 // half a year; less tells nothing of a season. Our own choice.
	weekDays    = 7
)

// strip is the common axis of several lines.
type strip struct {
	t     *page
	start weather.Date
	weeks int
}

// newStrip returns the axis that fits the reader's screen; ok is false where
// none is wanted or there is no room.
func (p printer) newStrip(t *page, start weather.Date) (s strip, ok bool) {
	s = strip{t, start, min(p.Width-stripIndent-stripName-1, mostWeeks)}
	return s, p.Chart && s.weeks >= leastWeeks
}

// row writes a line: a name, and a bar for each week.
func (s strip) row(name, bars string) {
	s.t.line(fmt.Sprintf("%*s%-*s%s", stripIndent, "", stripName, clip(name, stripName-1), bars))
}

// bars returns a bar for each week: the highest value of its days, 0 to 1.
//
//	from  day of the first value
func (s strip) bars(from weather.Date, days []float64) string {
	heights := []rune(" ▁▂▃▄▅▆▇█")
	out := make([]rune, s.weeks)
	for i := range out {
		v := s.highest(i, from, days)
		out[i] = heights[0]
		if v > 0 {
			steps := len(heights) - 1
			out[i] = heights[min(1+int(v*float64(steps)), steps)]
		}
	}
	return string(out)
}

// highest returns the highest value of a week, 0 for none.
func (s strip) highest(week int, from weather.Date, days []float64) float64 {
	most := 0.0
	for d := range weekDays {
		if i := int(s.start-from) + week*weekDays + d; i >= 0 && i < len(days) {
			most = max(most, days[i])
		}
	}
	return most
}

// week returns the cell of a day, -1 for a day beyond the axis.
func (s strip) week(d weather.Date) int {
	if d < s.start || int(d-s.start)/weekDays >= s.weeks {
		return -1
	}
	return int(d-s.start) / weekDays
}

// months writes the axis: the name of each month in the week of its first day.
func (s strip) months() {
	var b strings.Builder
	for i := range s.weeks {
		last := s.start + weather.Date(i*weekDays+weekDays-1)
		if _, _, day := last.YMD(); day <= weekDays && b.Len() <= i && i+3 <= s.weeks {
			b.WriteString(strings.Repeat(" ", i-b.Len()) + last.Time().Format("Jan"))
		}
	}
	s.row("", b.String())
}

// signs are the letters of the work on a strip, in the order of its key.
func signs() []struct {
	kind         hive.Kind
	letter, word string
} {
	return []struct {
		kind         hive.Kind
		letter, word string
	}{
		{hive.CongestionCheck, "c", "check the brood nest"}, {hive.SuperOn, "S", "add a super"}, {hive.Harvest, "H", "harvest"},
		{hive.SupersOff, "O", "supers off"}, {hive.FeedSyrup, "F", "feed"}, {hive.WinterClosed, "W", "close up"},
	}
}

// season draws the coming year week by week: bloom, nectar and work.
func (p printer) season(t *page, f forecast.Forecast) {
	s, ok := p.newStrip(t, f.Daily.Start)
	if !ok || f.Daily.Len() == 0 {
		return
	}
	t.heading("The year, week by week")
	s.months()
	for i, b := range f.Blooms {
		if b.Feeds && b.First.Share > 0 && i < len(f.Daily.Blooms) {
			s.row(b.Plant, s.bars(f.Daily.Start, f.Daily.Blooms[i].Share))
		}
	}
	best := 0.0
	for _, kg := range f.Daily.OneKg {
		best = max(best, kg)
	}
	s.row("nectar", s.bars(f.Daily.Start, over(f.Daily.OneKg, best)))
	key := s.work(f.Tasks)
	nectar := "of the best day, in a year near the middle"
	if !f.Apiary.Relative && best > 0 {
		nectar = "of " + p.Units.mass(best) + " a day, in a year near the middle"
	}
	t.item("  ", "A bar is as high as the share of years in bloom that week; for nectar, the share "+nectar+". "+key)
}

// work writes the letters of the work, in as many lines as they need, and
// returns their key.
func (s strip) work(tasks []forecast.Task) string {
	var lines [][]byte
	met := map[hive.Kind]bool{}
	for _, sign := range signs() {
		for _, t := range tasks {
			week := s.week(t.Window.Likely)
			if t.Kind != sign.kind || week < 0 {
				continue
			}
			met[t.Kind] = true
			lines = placed(lines, week, s.weeks, sign.letter)
		}
	}
	name := "work"
	for _, l := range lines {
		s.row(name, string(l))
		name = ""
	}
	var words []string
	for _, sign := range signs() {
		if met[sign.kind] {
			words = append(words, sign.letter+" "+sign.word)
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "Work: " + strings.Join(words, ", ") + "."
}

// placed puts a letter into the first line whose cell is free; the same letter
// twice in a week is one.
func placed(lines [][]byte, week, weeks int, letter string) [][]byte {
	for _, l := range lines {
		if l[week] == letter[0] {
			return lines
		}
		if l[week] == ' ' {
			l[week] = letter[0]
			return lines
		}
	}
	l := []byte(strings.Repeat(" ", weeks))
	l[week] = letter[0]
	return append(lines, l)
}

// over returns values as shares of the highest, nothing below 0.
func over(x []float64, highest float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		if highest > 0 {
			out[i] = max(v/highest, 0)
		}
	}
	return out
}

// aligned draws the places of a comparison below each other on one axis of
// weeks, nectar on one scale where amounts are known everywhere.
func (p printer) aligned(t *page, c forecast.Comparison) {
	start, best, known := c.Places[0].Forecast.Daily.Start, 0.0, true
	for _, x := range c.Places {
		start = min(start, x.Forecast.Daily.Start)
		known = known && x.Known()
		for _, kg := range x.Forecast.Daily.OneKg {
			best = max(best, kg)
		}
	}
	s, ok := p.newStrip(t, start)
	if !ok {
		return
	}
	t.heading("The year, week by week")
	s.months()
	for _, x := range c.Places {
		d := x.Forecast.Daily
		s.row(x.Forecast.Apiary.Name, "")
		s.row("  forage in bloom", s.bars(d.Start, fed(x.Forecast)))
		scale := best
		if !known {
			scale = 0
			for _, kg := range d.OneKg {
				scale = max(scale, kg)
			}
		}
		s.row("  nectar", s.bars(d.Start, over(d.OneKg, scale)))
	}
	what := "of each place's own best day"
	if known {
		what = "of " + p.Units.mass(best) + " a day, one scale for all"
	}
	t.item("  ", "A bar is as high as the share of years in which something that feeds the hive is in bloom; for nectar, the share "+what+", in a year near the middle.")
}

// fed returns on each day the highest share of years in which one of the plants
// that feed the hive is in bloom.
func fed(f forecast.Forecast) []float64 {
	out := make([]float64, f.Daily.Len())
	for i, b := range f.Blooms {
		if !b.Feeds || i >= len(f.Daily.Blooms) {
			continue
		}
		for d, v := range f.Daily.Blooms[i].Share {
			if d < len(out) {
				out[d] = max(out[d], v)
			}
		}
	}
	return out
}
