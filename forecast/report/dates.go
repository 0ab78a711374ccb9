package report

import (
	"fmt"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// Options say how people want to read.
type Options struct {
	Units Units
	Width int  // columns of the terminal; 0: 80
	Bold  bool // mark headings by terminal codes; off: plain text
	Chart bool // draw small charts of block letters (UTF-8) where there is room
}

// printer writes for people: it knows their units and the year they are in.
type printer struct {
	Options
	issue weather.Date
}

func newPrinter(f forecast.Forecast, o Options) printer {
	if o.Width == 0 {
		o.Width = 80
	}
	return printer{Options: o, issue: f.Issue}
}

// page begins a text for the printer's reader.
func (p printer) page() *page { return &page{width: p.Width, bold: p.Bold} }

// date writes a day without its year if it is the year of the issue date.
func (p printer) date(d weather.Date) string {
	layout := "2 Jan"
	if p.Units == US {
		layout = "Jan 2"
	}
	if d.Year() != p.issue.Year() {
		layout += " 2006"
	}
	return d.Time().Format(layout)
}

// day writes a day with its weekday and year.
func (p printer) day(d weather.Date) string {
	if p.Units == US {
		return d.Time().Format("Mon Jan 2, 2006")
	}
	return d.Time().Format("Mon 2 Jan 2006")
}

// span writes the early and the late day of a window, naming a month that both
// share once.
func (p printer) span(w forecast.Window) string {
	if w.Early == w.Late {
		return p.short(w.Early)
	}
	ey, em, ed := w.Early.YMD()
	ly, lm, ld := w.Late.YMD()
	if ey != ly || em != lm {
		return p.short(w.Early) + " – " + p.short(w.Late)
	}
	if p.Units == US {
		return fmt.Sprintf("%s %d–%d", em.String()[:3], ed, ld)
	}
	return fmt.Sprintf("%d–%d %s", ed, ld, em.String()[:3])
}

// short writes day and month only.
func (p printer) short(d weather.Date) string {
	if p.Units == US {
		return d.Time().Format("Jan 2")
	}
	return d.Time().Format("2 Jan")
}

// percent writes a share of 0 to 1.
func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// weekday writes a day with its weekday, and its year if it is another one.
func (p printer) weekday(d weather.Date) string { return d.Time().Format("Mon ") + p.date(d) }
