package ical

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"bloomtide/ingest/weather"
)

// maxOctets bounds a calendar, written or read: about a hundred thousand
// events. Our own choice, far above a season's and safe for memory.
const maxOctets = 64 << 20

// Layouts of DATE and of DATE-TIME in UTC for package time. RFC 5545 §3.3.4
// and §3.3.5, form 2.
const (
	dateLayout  = "20060102"
	stampLayout = "20060102T150405Z"
)

// header are the lines that every calendar of ours begins with. There is no
// METHOD: this is a published file, not a message between organizer and
// attendees (RFC 5545 §3.7.2). A program that subscribes is asked to look once
// a day, since a plan is made at most daily.
var header = []string{
	"BEGIN:VCALENDAR",
	"VERSION:2.0",
	"PRODID:-//bloomtide//bloomtide//EN",
	"CALSCALE:GREGORIAN",
	"REFRESH-INTERVAL;VALUE=DURATION:P1D",
	"X-PUBLISHED-TTL:P1D",
}

// noEvents stands in for the events of an empty calendar, since RFC 5545 §3.6
// demands at least one component: a time zone that nothing refers to.
var noEvents = []string{
	"BEGIN:VTIMEZONE",
	"TZID:Etc/UTC",
	"BEGIN:STANDARD",
	"DTSTART:19700101T000000",
	"TZOFFSETFROM:+0000",
	"TZOFFSETTO:+0000",
	"END:STANDARD",
	"END:VTIMEZONE",
}

// Write writes the calendar as RFC 5545 text, events by day and UID.
//
//	c         the plan's events and issue date
//	previous  what the calendar before this one said, nil if there is none
//
// The bytes depend on the arguments alone. With the calendar before at hand,
// an unchanged plan gives the same bytes on any issue date, a changed event
// has a higher SEQUENCE, and an event that is gone and not yet over is written
// as cancelled until a later issue date. Nothing is written if an event cannot
// be.
func Write(w io.Writer, c Calendar, previous Published) error {
	if !writable(c.Issue) {
		return fmt.Errorf("issue date %s is outside the years 1..9999", c.Issue)
	}
	trigger, err := c.Reminder.trigger()
	if err != nil {
		return err
	}
	entries, err := settle(c, previous, trigger)
	if err != nil {
		return err
	}
	b, err := compose(c, entries, trigger)
	if err != nil {
		return err
	}
	if _, err := w.Write(b); err != nil {
		return fmt.Errorf("write calendar: %w", err)
	}
	return nil
}

// compose returns the whole file.
func compose(c Calendar, entries []entry, trigger string) ([]byte, error) {
	var o output
	o.lines(header)
	o.named(c)
	if len(entries) == 0 {
		o.lines(noEvents)
	}
	for _, e := range entries {
		if c.Tasks {
			o.task(e, trigger)
		} else {
			o.event(e, trigger)
		}
		if len(o.b) > maxOctets {
			return nil, errors.New("calendar is larger than 64 MiB; write fewer events to one file")
		}
	}
	o.line("END:VCALENDAR")
	return o.b, nil
}

// output gathers content lines.
type output struct{ b []byte }

func (o *output) line(s string) { o.b = appendFolded(o.b, s) }

func (o *output) lines(s []string) {
	for _, l := range s {
		o.line(l)
	}
}

// text writes a TEXT property from a clean text.
func (o *output) text(name, s string) { o.line(name + ":" + escape(s)) }

func (o *output) date(name string, d weather.Date) {
	o.line(name + ";VALUE=DATE:" + d.Time().Format(dateLayout))
}

// named writes what the calendar is called, by the property of RFC 7986 §5.1
// and by the older one that programs in use still read.
func (o *output) named(c Calendar) {
	if name := clean(c.Name); name != "" {
		o.text("NAME", name)
		o.text("X-WR-CALNAME", name)
	}
	if about := clean(c.Description); about != "" {
		o.text("DESCRIPTION", about)
		o.text("X-WR-CALDESC", about)
	}
}

// event writes one VEVENT, RFC 5545 §3.6.1. DTSTAMP equals LAST-MODIFIED, as
// §3.8.7.2 says for a calendar without METHOD. TRANSP keeps a hive task from
// blocking the day for other appointments (§3.8.2.7).
func (o *output) event(e entry, trigger string) {
	o.line("BEGIN:VEVENT")
	o.revision(e)
	o.date("DTSTART", e.Day)
	o.date("DTEND", e.End)
	o.words(e)
	o.line("TRANSP:TRANSPARENT")
	if e.Cancelled {
		o.line("STATUS:CANCELLED")
	} else {
		o.line("STATUS:CONFIRMED")
		o.alarm(e, "", trigger)
	}
	o.line("END:VEVENT")
}

// task writes one VTODO, RFC 5545 §3.6.2. DUE is the last day, so that a
// program that lists tasks names the day of the work; DTSTART is written only
// where it is an earlier one, as §3.8.2.3 demands. COMPLETED is a time
// (§3.8.2.1): noon, which is the same day nearly everywhere.
func (o *output) task(e entry, trigger string) {
	o.line("BEGIN:VTODO")
	o.revision(e)
	if e.End-1 > e.Day {
		o.date("DTSTART", e.Day)
	}
	o.date("DUE", e.End-1)
	o.words(e)
	switch {
	case e.Cancelled:
		o.line("STATUS:CANCELLED")
	case e.Done != 0:
		o.line("STATUS:COMPLETED")
		o.line("PERCENT-COMPLETE:100")
		o.line("COMPLETED:" + e.Done.Time().Format(dateLayout) + "T120000Z")
	default:
		o.line("STATUS:NEEDS-ACTION")
		o.alarm(e, ";RELATED=END", trigger)
	}
	o.line("END:VTODO")
}

// revision writes which event it is and which revision of it.
func (o *output) revision(e entry) {
	modified := time.Unix(e.stamp.Modified, 0).UTC().Format(stampLayout)
	o.text("UID", e.UID)
	o.line("DTSTAMP:" + modified)
	o.line("LAST-MODIFIED:" + modified)
	o.line("SEQUENCE:" + strconv.Itoa(e.stamp.Sequence))
}

// words writes the texts of an event.
func (o *output) words(e entry) {
	o.text("SUMMARY", e.Summary)
	if e.Description != "" {
		o.text("DESCRIPTION", e.Description)
	}
	o.categories(e.Categories)
}

func (o *output) categories(names []string) {
	if len(names) == 0 {
		return
	}
	list := "CATEGORIES:"
	for i, n := range names {
		if i > 0 {
			list += ","
		}
		list += escape(n)
	}
	o.line(list)
}

// alarm writes a VALARM that shows the summary, RFC 5545 §3.6.6.
// A task that is due on a day only has no start, so the reminder counts from
// its end, which §3.8.6.3 calls RELATED=END.
func (o *output) alarm(e entry, related, trigger string) {
	if trigger == "" || e.Done != 0 {
		return
	}
	o.line("BEGIN:VALARM")
	o.line("ACTION:DISPLAY")
	o.text("DESCRIPTION", e.Summary)
	o.line("TRIGGER" + related + ":" + trigger)
	o.line("END:VALARM")
}
