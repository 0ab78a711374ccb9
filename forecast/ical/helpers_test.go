package ical

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// day reads an ISO date.
func day(t require.TestingT, s string) weather.Date {
	d, err := weather.ParseDate(s)
	require.NoError(t, err)
	return d
}

// single is a one-day event of an invented place.
func single(t require.TestingT, uid, on, summary string) Event {
	d := day(t, on)
	return Event{UID: uid + UIDSuffix, Day: d, End: d + 1, Summary: summary}
}

// written returns the bytes of a calendar, after checking what RFC 5545 §3.1
// says of every content line: it ends in CRLF, no CR or LF stands elsewhere,
// no line passes 75 octets, no fold cuts a character, and CONTROL characters
// other than the tab occur nowhere.
func written(t require.TestingT, c Calendar, previous Published) []byte {
	var b bytes.Buffer
	require.NoError(t, Write(&b, c, previous))
	lines := strings.Split(b.String(), "\r\n")
	require.Empty(t, lines[len(lines)-1], "last line has no CRLF")
	for _, l := range lines[:len(lines)-1] {
		require.NotEmpty(t, l)
		require.LessOrEqual(t, len(l), 75, "line %q", l)
		require.True(t, utf8.ValidString(l), "line %q", l)
		require.False(t, strings.ContainsFunc(l, func(r rune) bool {
			return r < ' ' && r != '\t' || r == 0x7f
		}), "line %q", l)
	}
	return b.Bytes()
}

// contentLines undoes folding as RFC 5545 §3.1 describes it: take out every
// CRLF followed by one blank or tab.
func contentLines(b []byte) []string {
	s := strings.NewReplacer("\r\n ", "", "\r\n\t", "").Replace(string(b))
	return strings.Split(strings.TrimSuffix(s, "\r\n"), "\r\n")
}

// valuesOf returns the values of a property, in the order of the file.
func valuesOf(b []byte, name string) []string {
	var out []string
	for _, l := range contentLines(b) {
		if v, ok := strings.CutPrefix(l, name+":"); ok {
			out = append(out, v)
		}
	}
	return out
}

func reread(t require.TestingT, b []byte) Published {
	p, err := ReadPublished(bytes.NewReader(b))
	require.NoError(t, err)
	return p
}

func sample(t testing.TB) Calendar {
	harvest := single(t, "2027-harvest-1.sarnholt", "2027-06-30", "Harvest: 12 kg €🐝")
	harvest.Description = "Flow over in 27 of 30 members;\n" + strings.Repeat("combs capped, ", 9)
	return Calendar{
		Name:     "Hive plan, Sarnholt (invented)",
		Issue:    day(t, "2027-03-01"),
		Reminder: Reminder{On: true},
		Events: []Event{
			single(t, "2027-super-1.sarnholt", "2027-05-12", "First super on; excluder below"),
			single(t, "2027-swarm-1.sarnholt", "2027-05-02", "Swarm watch"),
			harvest,
		},
	}
}
