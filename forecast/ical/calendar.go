package ical

import (
	"fmt"
	"strings"

	"bloomtide/ingest/weather"
)

// UIDSuffix ends the UID of every event of ours. Write refuses other UIDs and
// ReadPublished passes over them, so that nobody's own appointments in a
// calendar handed back to us are ever cancelled. RFC 5545 §3.8.4.7 asks for a
// right-hand side that makes the identifier unique in the world.
const UIDSuffix = "@bloomtide"

// Event is one all-day event.
type Event struct {
	// UID is the stable meaning of the event, ending in UIDSuffix, such as
	// "2027-super-1.sarnholt@bloomtide"; no two events share one.
	UID string
	// Day is the first day and End the day after the last one: Day+1 for one
	// day. Both lie in the years 1 to 9999.
	Day, End weather.Date
	// Summary is one line; Description may have several. Any text will do:
	// invalid UTF-8 is mended and control characters are dropped.
	Summary, Description string
	// Categories are search words for the calendar program; empty ones are
	// left out.
	Categories []string
	// Cancelled marks an event that is not to happen after all. It has no
	// reminder.
	Cancelled bool
	// Done is the day on which the work was done, 0 for not yet. What is done
	// has no reminder; as a task item it is written as completed.
	Done weather.Date
}

// Calendar is everything that Write turns into a file.
type Calendar struct {
	Name        string // shown by the calendar program
	Description string // left out if empty
	Events      []Event
	// Tasks writes task items (VTODO) in place of events, for programs that
	// keep lists of tasks.
	Tasks bool
	// Issue is the issue date of the plan, years 1 to 9999. Every time and
	// first SEQUENCE in the file follows from it.
	Issue    weather.Date
	Reminder Reminder
}

// OnTheDay as Reminder.DaysBefore asks for a reminder on the day itself.
const OnTheDay = -1

// Reminder says when the calendar program should remind of each event. The
// zero value asks for none; Reminder{On: true} asks for 09:00 on the day
// before, in the time zone of whoever reads the calendar.
//
// Many calendar programs ignore reminders in a calendar that they subscribe
// to, and keep them in a file that they import (from memory), so an event must
// make sense without.
type Reminder struct {
	On         bool
	DaysBefore int // 1 to 60, default 1; OnTheDay for the day itself
	Hour       int // full hour of the day, 1 to 23, default 9
}

// Defaults and bound of a reminder. Our own choice: nine in the morning of the
// day before leaves a day to fetch what the task needs, and two months is
// longer than any task is known ahead.
const (
	defaultDaysBefore = 1  // days
	defaultHour       = 9  // o'clock
	maxDaysBefore     = 60 // days
	hoursPerDay       = 24
)

// trigger returns the value of TRIGGER, hours from the midnight that begins
// the event, such as "-PT15H"; "" for no reminder. RFC 5545 §3.8.6.3: for an
// all-day event that midnight is the reader's own.
func (r Reminder) trigger() (string, error) {
	if !r.On {
		return "", nil
	}
	days, hour := r.DaysBefore, r.Hour
	switch days {
	case 0:
		days = defaultDaysBefore
	case OnTheDay:
		days = 0
	}
	if hour == 0 {
		hour = defaultHour
	}
	if days < 0 || days > maxDaysBefore {
		return "", fmt.Errorf("reminder %d days before is outside 1..%d; use -1 for the day itself", days, maxDaysBefore)
	}
	if hour < 1 || hour >= hoursPerDay {
		return "", fmt.Errorf("reminder at hour %d is outside 1..%d; give a full hour of the day", hour, hoursPerDay-1)
	}
	hours := hour - days*hoursPerDay
	if hours < 0 {
		return fmt.Sprintf("-PT%dH", -hours), nil
	}
	return fmt.Sprintf("PT%dH", hours), nil
}

// tidy returns the event as it can stand in a file: texts cleaned, empty
// categories gone, the caller's slice untouched.
func (e Event) tidy() (Event, error) {
	e.UID, e.Summary, e.Description = clean(e.UID), clean(e.Summary), clean(e.Description)
	var kept []string
	for _, c := range e.Categories {
		if c = clean(c); c != "" {
			kept = append(kept, c)
		}
	}
	e.Categories = kept
	if !strings.HasSuffix(e.UID, UIDSuffix) || e.UID == UIDSuffix {
		return e, fmt.Errorf("event UID %q does not name an event of ours; end it in %q", e.UID, UIDSuffix)
	}
	if !writable(e.Day) || !writable(e.End) {
		return e, fmt.Errorf("event %s: %s to %s is outside the years 1..9999", e.UID, e.Day, e.End)
	}
	if e.End <= e.Day {
		return e, fmt.Errorf("event %s: end %s is not after its day %s; the end is the day after the last one", e.UID, e.End, e.Day)
	}
	return e, nil
}

// writable reports whether a date has the four-digit year that RFC 5545
// §3.3.4 gives room for.
func writable(d weather.Date) bool {
	y := d.Year()
	return y >= 1 && y <= 9999
}
