package report

import (
	"fmt"
	"io"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/ical"
	"bloomtide/ingest/weather"
)

// CalendarOptions say how a calendar is written.
type CalendarOptions struct {
	Units    Units
	Reminder ical.Reminder
	Previous ical.Published // the calendar written last time, nil for none
	Tasks    bool           // task items in place of events
	Done     []Done         // what the keeper has done already
}

// Done is work that the keeper has recorded.
type Done struct {
	UID   string // of the task, as TaskView has it
	Title string
	Day   weather.Date
}

// PlanCalendar writes every task as an all-day event on its likely day.
func PlanCalendar(w io.Writer, f forecast.Forecast, o CalendarOptions) error {
	c := newPrinter(f, Options{Units: o.Units}).calendar(f, "hive plan", o)
	c.Events = planEvents(f, o, "")
	return ical.Write(w, c, o.Previous)
}

// PlansCalendar writes the tasks of several places, at least one, into one
// calendar. The latest issue date counts for it.
func PlansCalendar(w io.Writer, all []forecast.Forecast, o CalendarOptions) error {
	c := newPrinter(all[0], Options{Units: o.Units}).calendar(all[0], "", o)
	c.Name = "Hive plans"
	for _, f := range all {
		c.Issue = max(c.Issue, f.Issue)
		c.Events = append(c.Events, planEvents(f, o, f.Apiary.Name+": ")...)
	}
	return ical.Write(w, c, o.Previous)
}

// planEvents are the tasks of one place on their likely days, each summary
// after a lead. What was done stands on the day it was done, also when it has
// left the plan since, so that the calendar becomes the record of the year.
func planEvents(f forecast.Forecast, o CalendarOptions, lead string) []ical.Event {
	p := newPrinter(f, Options{Units: o.Units})
	done := map[string]Done{}
	for _, d := range o.Done {
		if strings.HasSuffix(d.UID, "."+f.Apiary.ID+ical.UIDSuffix) {
			done[d.UID] = d
		}
	}
	var out []ical.Event
	for _, t := range f.Tasks {
		e := ical.Event{
			UID: taskUID(f, t), Day: t.Window.Likely, End: t.Window.Likely + 1,
			Summary:     lead + invented(f, title(t)),
			Description: p.taskText(t),
			Categories:  []string{string(t.Kind)},
		}
		if d, ok := done[e.UID]; ok {
			e = doneEvent(e, d)
			delete(done, e.UID)
		}
		out = append(out, e)
	}
	for _, d := range o.Done {
		if _, left := done[d.UID]; left && d.Day > f.Issue-aYear {
			out = append(out, doneEvent(ical.Event{UID: d.UID, Summary: lead + invented(f, d.Title)}, d))
			delete(done, d.UID)
		}
	}
	return out
}

// aYear is how long work that was done stays in the calendar after it has left
// the plan, days.
const aYear = 366

// doneEvent puts an event on the day on which its work was done.
func doneEvent(e ical.Event, d Done) ical.Event {
	e.Summary = "Done: " + e.Summary
	e.Day, e.End, e.Done = d.Day, d.Day+1, d.Day
	return e
}

// BloomCalendar writes every bloom as one event from first to end of bloom, by
// the likely dates.
func BloomCalendar(w io.Writer, f forecast.Forecast, o CalendarOptions) error {
	p := newPrinter(f, Options{Units: o.Units})
	c := p.calendar(f, "bloom", o)
	for _, b := range f.Blooms {
		if b.First.Share == 0 {
			continue
		}
		c.Events = append(c.Events, ical.Event{
			UID: bloomUID(f, b), Day: b.First.Likely, End: max(b.End.Likely, b.First.Likely) + 1,
			Summary:     invented(f, b.Plant+" in bloom"),
			Description: fmt.Sprintf("First bloom %s, in %s of years. Table row: %s, %s.", p.span(b.First), percent(b.First.Share), b.Status, b.Source),
			Categories:  []string{"bloom"},
		})
	}
	return ical.Write(w, c, o.Previous)
}

func (p printer) calendar(f forecast.Forecast, what string, o CalendarOptions) ical.Calendar {
	var care []string
	for _, c := range f.Cautions {
		care = append(care, p.reason(c))
	}
	return ical.Calendar{
		Name: invented(f, f.Apiary.Name+" "+what), Description: strings.Join(care, " "),
		Issue: f.Issue, Reminder: o.Reminder, Tasks: o.Tasks,
	}
}

func (p printer) taskText(t forecast.Task) string {
	text := fmt.Sprintf("%s, in %s of years.", p.span(t.Window), percent(t.Window.Share))
	if t.Until != 0 {
		text += " Until about " + p.date(t.Until) + "."
	}
	why := p.reason(t.Why)
	if why == "" {
		return text
	}
	text += "\n" + strings.ToUpper(why[:1]) + why[1:] + "."
	for _, more := range []struct {
		lead string
		of   hive.Reason
	}{{"Look for: ", t.Check}, {"If late: ", t.Late}, {"Take care: ", t.Care}} {
		if s := p.reason(more.of); s != "" {
			text += "\n" + more.lead + s + "."
		}
	}
	return text
}

// invented marks what belongs to a place of the demo.
func invented(f forecast.Forecast, s string) string {
	if f.Apiary.Invented {
		return s + " (invented)"
	}
	return s
}

// taskUID names a task by its meaning, so that a moved date updates the event
// instead of doubling it.
func taskUID(f forecast.Forecast, t forecast.Task) string {
	return fmt.Sprintf("%d-%s-%d.%s@bloomtide", t.Year, t.Kind, t.N, f.Apiary.ID)
}

func bloomUID(f forecast.Forecast, b forecast.BloomWindow) string {
	return fmt.Sprintf("%d-bloom-%s.%s@bloomtide", b.Year, Slug(b.Plant), f.Apiary.ID)
}

// Slug turns a name into lower case letters, digits and single hyphens, for
// identifiers. Letters beyond ASCII are kept as their code points, so that two
// names stay two.
func Slug(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case r > 127:
			fmt.Fprintf(&b, "u%x", r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}
