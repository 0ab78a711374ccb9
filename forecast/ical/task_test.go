package ical

import (
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// RFC 5545 §3.6.2: a VTODO has DUE or DURATION, never DTEND or TRANSP; its
// STATUS is NEEDS-ACTION, COMPLETED, IN-PROCESS or CANCELLED (§3.8.1.11), and
// COMPLETED is a time in UTC (§3.8.2.1).
func TestTaskItems(t *testing.T) {
	const uid = "2027-super-1.sarnholt" + UIDSuffix
	due := day(t, "2027-05-03")
	for _, c := range []struct {
		name     string
		change   func(*Event)
		has, not []string
	}{
		{"open", func(*Event) {}, []string{"DUE;VALUE=DATE:20270503", "STATUS:NEEDS-ACTION", "TRIGGER;RELATED=END:-PT15H"}, []string{"DTSTART", "COMPLETED"}},
		{"several days", func(e *Event) { e.End += 2 }, []string{"DTSTART;VALUE=DATE:20270503", "DUE;VALUE=DATE:20270505"}, nil},
		{"done", func(e *Event) { e.Done = due - 1 }, []string{"STATUS:COMPLETED", "PERCENT-COMPLETE:100", "COMPLETED:20270502T120000Z"}, []string{"VALARM", "NEEDS-ACTION"}},
		{"cancelled", func(e *Event) { e.Cancelled = true }, []string{"STATUS:CANCELLED"}, []string{"VALARM"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := Event{UID: uid, Day: due, End: due + 1, Summary: "Add super 1"}
			c.change(&e)
			cal := Calendar{Issue: day(t, "2027-04-01"), Events: []Event{e}, Tasks: true, Reminder: Reminder{On: true}}
			got := written(t, cal, nil)
			for _, want := range c.has {
				require.Contains(t, string(got), "\r\n"+want+"\r\n")
			}
			for _, no := range append(c.not, "DTEND", "TRANSP", "VEVENT") {
				require.NotContains(t, string(got), no)
			}
			old := reread(t, got)
			require.Equal(t, e.Day, old[uid].Day)
			require.Equal(t, e.End, old[uid].End)
			cal.Issue += 9
			require.Equal(t, string(got), string(written(t, cal, old)), "the same tasks again")
			cal.Events[0].Done = due - 2
			cal.Events[0].Cancelled = false
			require.Greater(t, reread(t, written(t, cal, old))[uid].Sequence, old[uid].Sequence)
			cal.Events = nil
			if !e.Cancelled { // a cancellation of an earlier issue date is owed no more
				require.Contains(t, string(written(t, cal, old)), "STATUS:CANCELLED", "withdrawn")
			}
		})
	}
}

// An event that was done reminds of nothing any more.
func TestDoneEventHasNoReminder(t *testing.T) {
	e := Event{UID: superUID, Day: weather.YearMonthDay(2027, 5, 3), End: weather.YearMonthDay(2027, 5, 4), Summary: "Done: add super", Done: weather.YearMonthDay(2027, 5, 1)}
	cal := Calendar{Issue: day(t, "2027-04-01"), Events: []Event{e}, Reminder: Reminder{On: true}}
	got := written(t, cal, nil)
	require.NotContains(t, string(got), "VALARM")
	require.Equal(t, string(got), string(written(t, cal, reread(t, got))))
}
