package ical

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
)

// RFC 5545 §3.4 and §3.6 (order and delimiters), §3.6.1 (VEVENT: UID and
// DTSTAMP required, all-day DTEND exclusive), §3.6.6 (display alarm:
// ACTION, DESCRIPTION and TRIGGER required), §3.7 (VERSION and PRODID required
// once). RFC 7986 §5.1 and §5.7 (NAME, REFRESH-INTERVAL).
func TestWriteWholeFile(t *testing.T) {
	d := day(t, "2027-05-12")
	c := Calendar{Name: "Sarnholt", Issue: day(t, "2027-03-01"), Reminder: Reminder{On: true}, Events: []Event{{
		UID: "2027-super-1.sarnholt@bloomtide", Day: d, End: d + 2, Summary: "Super on",
		Description: "why", Categories: []string{"super", "", "spring"},
	}}}
	// From 2000-01-01 to 2027-03-01: 27 years of 365 days, 7 leap days (2000
	// to 2024), 31 days of January and 28 of February.
	const days = 27*365 + 7 + 31 + 28
	require.Equal(t, []string{
		"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//bloomtide//bloomtide//EN", "CALSCALE:GREGORIAN",
		"REFRESH-INTERVAL;VALUE=DURATION:P1D", "X-PUBLISHED-TTL:P1D", "NAME:Sarnholt", "X-WR-CALNAME:Sarnholt",
		"BEGIN:VEVENT", "UID:2027-super-1.sarnholt@bloomtide", "DTSTAMP:20270301T000000Z",
		"LAST-MODIFIED:20270301T000000Z", fmt.Sprint("SEQUENCE:", days), "DTSTART;VALUE=DATE:20270512",
		"DTEND;VALUE=DATE:20270514", "SUMMARY:Super on", "DESCRIPTION:why", "CATEGORIES:super,spring",
		"TRANSP:TRANSPARENT", "STATUS:CONFIRMED",
		"BEGIN:VALARM", "ACTION:DISPLAY", "DESCRIPTION:Super on", "TRIGGER:-PT15H", "END:VALARM",
		"END:VEVENT", "END:VCALENDAR",
	}, contentLines(written(t, c, nil)))
}

// RFC 5545 §3.3.11: backslash, semicolon, comma and newline are escaped, a
// colon is not; §3.1 names the CONTROL characters that no text may hold.
func TestEscaping(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"example of §3.3.11", "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
			`Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`},
		{"specials", `a,b;c\d:e"f`, `a\,b\;c\\d:e"f`},
		{"line breaks", "a\r\nb\rc\nd", `a\nb\nc\nd`},
		{"separators that readers break at", "a\u2028b\u2029c", `a\nb\nc`},
		{"controls", "a\x00b\x07c\x7fd\u0085e\tf", "abcde\tf"},
		{"invalid UTF-8", "a\xffb", "a\uFFFDb"},
		{"backslash before a comma", `\,`, `\\\,`},
		{"plain", "38 °C", "38 °C"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := escape(clean(c.in))
			require.Equal(t, c.want, got)
			require.Equal(t, clean(c.in), unescape(got))
			require.Equal(t, clean(c.in), clean(clean(c.in)))
		})
	}
}

// RFC 5545 §3.1: at most 75 octets without the line break; the blank after a
// fold counts; a multi-octet character is not cut.
func TestFoldAtTheEdge(t *testing.T) {
	for _, c := range []struct {
		name, line string
		lengths    []int // octets of each physical line
	}{
		{"75 fit", strings.Repeat("a", 75), []int{75}},
		{"76 do not", strings.Repeat("a", 76), []int{75, 2}},
		{"second line holds 74 and the blank", strings.Repeat("a", 75+74), []int{75, 75}},
		{"one more", strings.Repeat("a", 75+75), []int{75, 75, 2}},
		{"two-octet rune over the edge", strings.Repeat("a", 74) + "ü", []int{74, 3}},
		{"three-octet rune over the edge", strings.Repeat("a", 73) + "€", []int{73, 4}},
		{"four-octet rune over the edge", strings.Repeat("a", 72) + "🐝", []int{72, 5}},
		{"four-octet rune to the edge", strings.Repeat("a", 71) + "🐝", []int{75}},
	} {
		t.Run(c.name, func(t *testing.T) {
			out := string(appendFolded(nil, c.line))
			var lengths []int
			for l := range strings.SplitSeq(strings.TrimSuffix(out, "\r\n"), "\r\n") {
				lengths = append(lengths, len(l))
			}
			require.Equal(t, c.lengths, lengths)
			require.Equal(t, []string{c.line}, contentLines([]byte(out)))
		})
	}
}

// Civil dates: 2028 is a leap year, 2027 and 2100 are not. DTEND is the day
// after, RFC 5545 §3.6.1; DATE is §3.3.4.
func TestDates(t *testing.T) {
	for _, c := range []struct{ on, start, end string }{
		{"2028-02-28", "20280228", "20280229"},
		{"2028-02-29", "20280229", "20280301"},
		{"2027-02-28", "20270228", "20270301"},
		{"2100-02-28", "21000228", "21000301"},
		{"2027-12-31", "20271231", "20280101"},
		{"0001-01-01", "00010101", "00010102"},
	} {
		t.Run(c.on, func(t *testing.T) {
			cal := Calendar{Issue: day(t, "2027-01-01"), Events: []Event{single(t, "x", c.on, "s")}}
			b := written(t, cal, nil)
			require.Equal(t, []string{c.start}, valuesOf(b, "DTSTART;VALUE=DATE"))
			require.Equal(t, []string{c.end}, valuesOf(b, "DTEND;VALUE=DATE"))
			require.Equal(t, day(t, c.on), reread(t, b)["x"+UIDSuffix].Day)
		})
	}
}

// RFC 5545 §3.8.6.3 and §3.3.6: hours from the midnight that begins the day.
func TestReminder(t *testing.T) {
	for _, c := range []struct {
		r    Reminder
		want []string
	}{
		{Reminder{}, nil},
		{Reminder{DaysBefore: 3, Hour: 7}, nil},
		{Reminder{On: true}, []string{"-PT15H"}},
		{Reminder{On: true, DaysBefore: 2}, []string{"-PT39H"}},
		{Reminder{On: true, DaysBefore: OnTheDay}, []string{"PT9H"}},
		{Reminder{On: true, DaysBefore: OnTheDay, Hour: 6}, []string{"PT6H"}},
		{Reminder{On: true, Hour: 18}, []string{"-PT6H"}},
	} {
		t.Run(fmt.Sprint(c.r), func(t *testing.T) {
			cal := Calendar{Issue: day(t, "2027-01-01"), Reminder: c.r,
				Events: []Event{single(t, "x", "2027-05-01", "s")}}
			require.Equal(t, c.want, valuesOf(written(t, cal, nil), "TRIGGER"))
			cal.Events[0].Cancelled = true
			require.Empty(t, valuesOf(written(t, cal, nil), "TRIGGER"))
		})
	}
}

// RFC 5545 §3.6: a calendar has at least one component.
func TestEmptyCalendar(t *testing.T) {
	b := written(t, Calendar{Issue: day(t, "2027-01-01")}, nil)
	require.NotContains(t, string(b), "VEVENT")
	require.NotContains(t, string(b), "NAME")
	require.Contains(t, string(b), "BEGIN:VTIMEZONE")
	require.Empty(t, reread(t, b))
}

// RFC 5545 §3.7.2: METHOD would make the file a scheduling message.
func TestNoMethod(t *testing.T) {
	require.Empty(t, valuesOf(written(t, sample(t), nil), "METHOD"))
}

func TestWriteRefuses(t *testing.T) {
	good := single(t, "x", "2027-05-01", "s")
	issue := day(t, "2027-01-01")
	with := func(change func(*Event)) Calendar {
		e := good
		change(&e)
		return Calendar{Issue: issue, Events: []Event{e}}
	}
	for _, c := range []struct {
		name string
		c    Calendar
		want string
	}{
		{"no UID", with(func(e *Event) { e.UID = "" }), "end it in \"@bloomtide\""},
		{"nothing before the suffix", with(func(e *Event) { e.UID = UIDSuffix }), "end it in"},
		{"end is the day", with(func(e *Event) { e.End = e.Day }), "is not after its day 2027-05-01"},
		{"year 10000", with(func(e *Event) { e.End = 2932897 }), "outside the years 1..9999"},
		{"same UID twice", Calendar{Issue: issue, Events: []Event{good, good}}, "two events have the UID x@bloomtide"},
		{"same UID but for a control", Calendar{Issue: issue, Events: []Event{good,
			with(func(e *Event) { e.UID = "\x00" + e.UID }).Events[0]}}, "two events have the UID x@bloomtide"},
		{"issue date", Calendar{Issue: 2932897}, "issue date 10000-01-01 is outside"},
		{"days before", Calendar{Reminder: Reminder{On: true, DaysBefore: -2}}, "reminder -2 days before"},
		{"many days before", Calendar{Reminder: Reminder{On: true, DaysBefore: 61}}, "reminder 61 days before"},
		{"hour", Calendar{Reminder: Reminder{On: true, Hour: 24}}, "reminder at hour 24 is outside 1..23"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.ErrorContains(t, Write(&b, c.c, nil), c.want)
			require.Zero(t, b.Len(), "nothing may be written")
		})
	}
}

func TestWriteHandsBackTheWritersError(t *testing.T) {
	r, w := io.Pipe()
	broken := errors.New("disk full")
	require.NoError(t, r.CloseWithError(broken))
	require.ErrorIs(t, Write(w, sample(t), nil), broken)
}

// The order of the events and of the map must not show, and the caller's
// events stay as they were.
func TestOrderIsOfNoAccount(t *testing.T) {
	c := sample(t)
	want := written(t, c, nil)
	c.Events[0], c.Events[2] = c.Events[2], c.Events[0]
	c.Events[0].Categories = []string{""}
	require.Equal(t, want, written(t, c, nil))
	require.Equal(t, []string{""}, c.Events[0].Categories)
}

func anyDay(t *rapid.T, label string) weather.Date {
	// 1950-01-01 to about 2114, for both sides of 1970 and of 2000.
	return weather.Date(rapid.IntRange(-7305, 52595).Draw(t, label))
}

func anyText(t *rapid.T, label string) string {
	return rapid.OneOf(
		rapid.String(),
		rapid.StringOfN(rapid.RuneFrom([]rune("a\\;,:\r\n\t \"€ü🐝\u2028\x00n")), 0, 120, -1),
		rapid.Map(rapid.SliceOfN(rapid.Byte(), 0, 100), func(b []byte) string { return string(b) }),
	).Draw(t, label)
}

func anyCalendar(t *rapid.T) Calendar {
	c := Calendar{Name: anyText(t, "name"), Description: anyText(t, "about"), Issue: anyDay(t, "issue"),
		Reminder: Reminder{On: rapid.Bool().Draw(t, "remind")}}
	for i := range rapid.IntRange(0, 4).Draw(t, "events") {
		e := Event{UID: fmt.Sprint(i, anyText(t, "uid"), UIDSuffix), Day: anyDay(t, "day"), Summary: anyText(t, "summary"),
			Description: anyText(t, "description"), Cancelled: rapid.Bool().Draw(t, "cancelled")}
		e.End = e.Day + weather.Date(rapid.IntRange(1, 400).Draw(t, "days"))
		for range rapid.IntRange(0, 3).Draw(t, "categories") {
			e.Categories = append(e.Categories, anyText(t, "category"))
		}
		c.Events = append(c.Events, e)
	}
	return c
}

// Whatever is written is read back, and writing it again with what was read
// changes no byte, whatever the issue date.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCalendar(t)
		b := written(t, c, nil)
		got := reread(t, b)
		require.Len(t, got, len(c.Events))
		for _, e := range c.Events {
			s, ok := got[clean(e.UID)]
			require.True(t, ok, "UID %q", e.UID)
			require.Equal(t, max(0, int(c.Issue-day(t, "2000-01-01"))), s.Sequence)
			require.Equal(t, c.Issue.Time().Unix(), s.Modified)
			require.Equal(t, []any{e.Day, e.End, clean(e.Summary), e.Cancelled}, []any{s.Day, s.End, s.Summary, s.Cancelled})
		}
		c.Issue = anyDay(t, "later issue")
		require.Equal(t, string(b), string(written(t, c, got)))
	})
}

func BenchmarkWrite(b *testing.B) {
	c := Calendar{Name: "Sarnholt", Issue: day(b, "2027-03-01"), Reminder: Reminder{On: true}}
	for i := range 40 { // about the tasks of one year
		d := c.Issue + weather.Date(7*i)
		c.Events = append(c.Events, Event{UID: fmt.Sprintf("2027-task-%d.sarnholt%s", i, UIDSuffix), Day: d, End: d + 1,
			Summary: "First super on, excluder below", Categories: []string{"super"},
			Description: strings.Repeat("Nectar flow from lime begins; 17 of 30 members. ", 6)})
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, c, nil); err != nil {
			b.Fatal(err)
		}
	}
}
