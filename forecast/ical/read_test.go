package ical

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// wrap puts properties into the one event of a calendar; they begin on line 3.
func wrap(properties ...string) string {
	return "BEGIN:VCALENDAR\nBEGIN:VEVENT\n" + strings.Join(properties, "\n") + "\nEND:VEVENT\nEND:VCALENDAR\n"
}

func TestReadRefuses(t *testing.T) {
	for _, c := range []struct {
		name, in string
		line     int
		what     string
	}{
		{"empty", "", 0, "file is empty"},
		{"a PDF", "%PDF-1.7\n1 0 obj\n", 1, "does not begin with BEGIN:VCALENDAR"},
		{"a table", "uid,start\n", 1, "does not begin with BEGIN:VCALENDAR"},
		{"another component", "BEGIN:VCARD\nEND:VCARD\n", 1, "does not begin with BEGIN:VCALENDAR"},
		{"cut short", "BEGIN:VCALENDAR\nBEGIN:VEVENT\nUID:x@bloomtide\n", 3, "calendar ends inside VEVENT"},
		{"crossed ends", "BEGIN:VCALENDAR\nBEGIN:VEVENT\nEND:VCALENDAR\n", 3, "END:VCALENDAR closes nothing"},
		{"one end too many", "BEGIN:VCALENDAR\nEND:VCALENDAR\nEND:VCALENDAR\n", 3, "END:VCALENDAR closes nothing"},
		{"after the end", "BEGIN:VCALENDAR\nEND:VCALENDAR\nX:1\n", 3, "\"X:1\" stands outside"},
		{"no colon", "BEGIN:VCALENDAR\nVERSION 2\n", 2, "no colon in \"VERSION 2\""},
		{"too deep", strings.Repeat("BEGIN:VCALENDAR\n", 9), 9, "nested more than 8 deep"},
		{"no day", wrap("UID:x@bloomtide"), 4, "event has no DTSTART"},
		{"2025-02-30", wrap("UID:x@bloomtide", "DTSTART;VALUE=DATE:20250230"), 4, "not a day of the form YYYYMMDD: \"20250230\""},
		{"bad end", wrap("UID:x@bloomtide", "DTSTART:20250101", "DTEND:soon"), 5, "\"soon\""},
		{"end in the year 10000", wrap("UID:x@bloomtide", "DTSTART:99991231"), 5, "outside the years"},
		{"sequence", wrap("UID:x@bloomtide", "DTSTART:20250101", "SEQUENCE:-1"), 5, "SEQUENCE \"-1\" is outside"},
		{"big sequence", wrap("UID:x@bloomtide", "DTSTART:20250101", "SEQUENCE:2147483648"), 5, "is outside 0..2147483647"},
		{"time", wrap("UID:x@bloomtide", "DTSTART:20250101", "LAST-MODIFIED:noon"), 5, "\"noon\""},
		{"long line", "BEGIN:VCALENDAR\nX:" + strings.Repeat("a", 1<<20), 1, "line is longer than 1 MiB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadPublished(strings.NewReader(c.in))
			var syntax *weather.SyntaxError
			require.ErrorAs(t, err, &syntax)
			require.Equal(t, c.line, syntax.Line)
			require.ErrorContains(t, err, c.what)
			require.NotEmpty(t, syntax.Mend)
		})
	}
}

// Defaults of RFC 5545: SEQUENCE 0 (§3.8.7.4), one day without DTEND (§3.6.1).
func TestReadDefaults(t *testing.T) {
	for _, c := range []struct {
		name string
		in   string
		seq  int
		mod  string
		end  string
	}{
		{"bare", wrap("UID:x@bloomtide", "DTSTART:20270501"), 0, "2000-01-01", "2027-05-02"},
		{"time of the sequence", wrap("UID:x@bloomtide", "DTSTART:20270501", "SEQUENCE:366"), 366, "2001-01-01", "2027-05-02"},
		{"DTSTAMP alone", wrap("UID:x@bloomtide", "DTSTART:20270501", "DTSTAMP:20270301T000000Z"), 0, "2027-03-01", "2027-05-02"},
		{"midnight", wrap("UID:x@bloomtide", "DTSTART:20270501T000000", "DTEND:20270504T000000"), 0, "2000-01-01", "2027-05-04"},
		{"end on the day", wrap("UID:x@bloomtide", "DTSTART:20270501", "DTEND:20270501"), 0, "2000-01-01", "2027-05-02"},
		{"first of two", wrap("UID:x@bloomtide", "UID:y@bloomtide", "DTSTART:20270501"), 0, "2000-01-01", "2027-05-02"},
		{"revised twice", wrap("UID:x@bloomtide", "DTSTART:20270401", "SEQUENCE:5", "END:VEVENT", "BEGIN:VEVENT",
			"UID:x@bloomtide", "DTSTART:20270501", "SEQUENCE:6", "END:VEVENT", "BEGIN:VEVENT",
			"UID:x@bloomtide", "DTSTART:20270601", "SEQUENCE:4"), 6, "2000-01-07", "2027-05-02"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadPublished(strings.NewReader(c.in))
			require.NoError(t, err)
			require.Len(t, got, 1)
			s := got["x@bloomtide"]
			require.Equal(t, c.seq, s.Sequence)
			require.Equal(t, day(t, c.mod).Time().Unix(), s.Modified)
			require.Equal(t, day(t, "2027-05-01"), s.Day)
			require.Equal(t, day(t, c.end), s.End)
		})
	}
}

// The largest SEQUENCE and time that RFC 5545 §3.3.8 and §3.3.5 can express
// leave no room to grow, but the file stays valid.
func TestNumbersAtTheirEnd(t *testing.T) {
	old, err := ReadPublished(strings.NewReader(wrap("UID:x@bloomtide", "DTSTART:20270501",
		"SEQUENCE:2147483647", "LAST-MODIFIED:99991231T235959Z")))
	require.NoError(t, err)
	b := written(t, Calendar{Issue: day(t, "2027-01-01"), Events: []Event{single(t, "x", "2027-05-02", "s")}}, old)
	require.Equal(t, []string{"2147483647"}, valuesOf(b, "SEQUENCE"))
	require.Equal(t, []string{"99991231T235959Z"}, valuesOf(b, "LAST-MODIFIED"))
}

func TestReadHandsBackTheReadersError(t *testing.T) {
	broken := errors.New("disk gone")
	in := io.MultiReader(strings.NewReader("BEGIN:VCALENDAR\n"), iotest.ErrReader(broken))
	_, err := ReadPublished(in)
	require.ErrorIs(t, err, broken)
}

// endless yields one line for ever.
type endless struct{ line string }

func (e endless) Read(b []byte) (int, error) { return copy(b, e.line), nil }

func TestReadIsBounded(t *testing.T) {
	in := io.MultiReader(strings.NewReader("BEGIN:VCALENDAR\n"), endless{strings.Repeat("X-A:bcdefghijkl\n", 256)})
	_, err := ReadPublished(in)
	require.ErrorContains(t, err, "calendar is larger than 64 MiB")
}

// Nothing read makes ReadPublished or the next Write panic, and what Write
// makes of it is a calendar that can be read again.
func FuzzReadPublished(f *testing.F) {
	var b bytes.Buffer
	require.NoError(f, Write(&b, sample(f), nil))
	f.Add(b.Bytes())
	f.Add([]byte(wrap("UID:x@bloomtide", "DTSTART;VALUE=DATE:20280229", "SUMMARY:a\\,b\\", "CATEGORIES:a\\,,b,")))
	f.Add([]byte("BEGIN:VCALENDAR\r\n \r\n\tEND:VCALENDAR"))
	f.Add([]byte(wrap("UID:x@bloomtide", "DTSTART:99991230", "STATUS:CANCELLED", "BEGIN:VALARM", "TRIGGER:PT9H", "END:VALARM")))
	f.Fuzz(func(t *testing.T, in []byte) {
		got, err := ReadPublished(bytes.NewReader(in))
		if err != nil {
			require.Nil(t, got)
			return
		}
		for uid, s := range got {
			require.True(t, strings.HasSuffix(uid, UIDSuffix))
			require.Less(t, s.Day, s.End)
			require.GreaterOrEqual(t, s.Sequence, 0)
		}
		c := Calendar{Issue: day(t, "2027-03-01")}
		again := written(t, c, got)
		require.Equal(t, string(again), string(written(t, c, reread(t, again))))
	})
}
