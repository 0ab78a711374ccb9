package format

import (
	"fmt"
	"math"
	"math/bits"

	"bloomtide/ingest/weather"
)

// enoughHours is how many of a day's 24 hours must have a temperature for the
// day to count. Our choice: a gap of two hours hides little of the extremes,
// and the day on which clocks go forward has 23.
const enoughHours = 22

// farClock is how far a file's clock may be from the sun's before hours are
// moved to the local day, hours. Our choice: legal time strays up to about
// three hours from the sun.
const farClock = 3

// hours makes days of hours. It holds one unfinished day a station.
type hours struct {
	open  map[string]*day
	order []string
	shift int // hours to add to the file's clock for local time
	temp  *bound
	rain  *bound
}

// day is an unfinished day.
type day struct {
	date     weather.Date
	line     int
	min, max float64
	rain     float64
	wet      bool
	seen     uint32 // one bit an hour
}

func newHours() *hours { return &hours{open: map[string]*day{}} }

// clock decides how far to move the hours, and says so.
func (h *hours) clock(f *File, w *wide) {
	f.note("days are made of hours: extremes are those of the hourly values, a day needs %d hours", enoughHours)
	lon := w.site.Point.Lon()
	for _, s := range w.preface.sites {
		if math.IsNaN(lon) {
			lon = s.Point.Lon()
		}
	}
	if math.IsNaN(lon) {
		f.note("the file does not say where it is: its own midnight ends the day")
		return
	}
	ahead := int(math.Round(lon/15 - float64(w.preface.offsetSec)/3600)) // 15° of longitude an hour
	if ahead >= farClock || ahead <= -farClock {
		h.shift = ahead
		f.note("hours are moved by %+d to the local day at longitude %.1f", ahead, lon)
	}
}

func (h *hours) row(w *wide, f [][]byte, at stamp, id string, s *sink) {
	if at.hour < 0 {
		s.fault(w.date[0]+1, f[w.date[0]], fmt.Sprintf("no time of day: %q", clip(f[w.date[0]])), "hourly lines need a date and a time")
		return
	}
	h.columns(w)
	hour := at.hour + h.shift
	date := at.date + weather.Date(math.Floor(float64(hour)/24))
	hour = (hour + 48) % 24
	d := h.open[id]
	if d == nil {
		d = &day{}
		h.open[id] = d
		h.order = append(h.order, id)
	}
	if d.line == 0 || d.date != date {
		h.close(id, d, s)
		*d = day{date: date, line: max(1, s.line), min: math.Inf(1), max: math.Inf(-1)}
	}
	if h.temp != nil {
		if v, ok := w.value(h.temp, f, s); ok {
			d.min, d.max = min(d.min, v), max(d.max, v)
			d.seen |= 1 << hour
		}
	}
	if h.rain != nil {
		if v, ok := w.value(h.rain, f, s); ok {
			d.rain += v
			d.wet = true
		}
	}
}

// columns finds the columns of temperature and rain once.
func (h *hours) columns(w *wide) {
	if h.temp != nil || h.rain != nil {
		return
	}
	for i := range w.columns {
		switch c := &w.columns[i]; {
		case temperature(c.element):
			h.temp = c
		case c.element == weather.Rain:
			h.rain = c
		}
	}
}

// close gives a day that has enough hours.
func (h *hours) close(id string, d *day, s *sink) {
	if d.line == 0 || h.temp == nil || bits.OnesCount32(d.seen) < enoughHours {
		return
	}
	high, low := *h.temp, *h.temp
	high.element, low.element = weather.TMax, weather.TMin
	s.add(found{id: id, date: d.date, c: &high, value: d.max, line: d.line})
	s.add(found{id: id, date: d.date, c: &low, value: d.min, line: d.line})
	if d.wet {
		s.add(found{id: id, date: d.date, c: h.rain, value: d.rain, line: d.line})
	}
}

func (h *hours) end(s *sink) {
	for _, id := range h.order {
		h.close(id, h.open[id], s)
		h.open[id].line = 0
	}
}
