package ical

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
)

const superUID = "2027-super-1.sarnholt" + UIDSuffix

// sections returns each VEVENT by UID.
func sections(b []byte) map[string]string {
	out := map[string]string{}
	for _, s := range strings.Split(string(b), "BEGIN:VEVENT\r\n")[1:] {
		s, _, _ = strings.Cut(s, "END:VEVENT")
		uid, _, _ := strings.Cut(strings.TrimPrefix(s, "UID:"), "\r\n")
		out[uid] = s
	}
	return out
}

// RFC 5545 §3.8.7.4: a change of the same UID has a higher SEQUENCE;
// §3.8.7.3: LAST-MODIFIED changes with it.
func TestUpdate(t *testing.T) {
	base := int(day(t, "2027-03-01") - day(t, "2000-01-01"))
	for _, c := range []struct {
		name   string
		change func(*Calendar)
		seq    int
		stamp  string
	}{
		{"nothing", func(*Calendar) {}, base, "20270301T000000Z"},
		{"nothing, a week on", func(c *Calendar) { c.Issue += 7 }, base, "20270301T000000Z"},
		{"day, same issue date", func(c *Calendar) { c.Events[0].Day-- }, base + 1, "20270301T000001Z"},
		{"end, next day", func(c *Calendar) { c.Issue++; c.Events[0].End++ }, base + 1, "20270302T000000Z"},
		{"summary, a week on", func(c *Calendar) { c.Issue += 7; c.Events[0].Summary += "!" }, base + 7, "20270308T000000Z"},
		{"description", func(c *Calendar) { c.Events[0].Description = "later" }, base + 1, "20270301T000001Z"},
		{"categories", func(c *Calendar) { c.Events[0].Categories = []string{"super"} }, base + 1, "20270301T000001Z"},
		{"cancelled", func(c *Calendar) { c.Events[0].Cancelled = true }, base + 1, "20270301T000001Z"},
		{"reminder", func(c *Calendar) { c.Reminder.Hour = 8 }, base + 1, "20270301T000001Z"},
		{"issue date went back", func(c *Calendar) { c.Issue -= 30; c.Events[0].Day-- }, base + 1, "20270301T000001Z"},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := written(t, sample(t), nil)
			old := reread(t, before)
			cal := sample(t)
			c.change(&cal)
			after := written(t, cal, old)
			got := reread(t, after)
			require.Len(t, got, 3)
			require.Equal(t, c.seq, got[superUID].Sequence)
			require.Equal(t, c.stamp, time.Unix(got[superUID].Modified, 0).UTC().Format("20060102T150405Z"))
			require.Contains(t, sections(after)[superUID], "DTSTAMP:"+c.stamp+"\r\nLAST-MODIFIED:"+c.stamp)
			if c.seq == base {
				require.Equal(t, string(before), string(after))
			}
			if c.name != "reminder" { // which is in every event
				const other = "2027-swarm-1.sarnholt" + UIDSuffix
				require.Equal(t, sections(before)[other], sections(after)[other])
			}
			require.Equal(t, string(after), string(written(t, cal, got)), "the same plan again")
		})
	}
}

// A plan made on a later day outnumbers the one before even if nothing was
// kept of it.
func TestLaterPlanOutnumbersWithoutMemory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.IntRange(10957, 60000).Draw(t, "issue") // from 2000-01-01 on
		b := a + rapid.IntRange(1, 400).Draw(t, "days later")
		e := single(t, "x", "2027-05-01", "s")
		first := reread(t, written(t, Calendar{Issue: weather.Date(a), Events: []Event{e}}, nil))
		second := reread(t, written(t, Calendar{Issue: weather.Date(b), Events: []Event{e}}, nil))
		require.Greater(t, second[e.UID].Sequence, first[e.UID].Sequence)
		require.Greater(t, second[e.UID].Modified, first[e.UID].Modified)
	})
}

// Any row of changes numbers upward.
func TestChangesNumberUpward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := single(t, "x", "2090-05-01", "s")
		var kept Published
		for range 6 {
			e.Day--
			c := Calendar{Issue: anyDay(t, "issue"), Events: []Event{e}}
			next := reread(t, written(t, c, kept))
			if old, ok := kept[e.UID]; ok {
				require.Greater(t, next[e.UID].Sequence, old.Sequence)
				require.Greater(t, next[e.UID].Modified, old.Modified)
			}
			kept = next
		}
	})
}

// RFC 5545 §3.8.1.11: STATUS:CANCELLED tells that the event is off.
func TestEventThatIsGone(t *testing.T) {
	before := written(t, sample(t), nil)
	cal := sample(t)
	cal.Events = cal.Events[1:]
	cancelled := written(t, cal, reread(t, before))
	s := reread(t, cancelled)[superUID]
	require.True(t, s.Cancelled)
	require.Equal(t, reread(t, before)[superUID].Sequence+1, s.Sequence)
	require.Equal(t, []any{day(t, "2027-05-12"), "First super on; excluder below"}, []any{s.Day, s.Summary})
	require.NotContains(t, sections(cancelled)[superUID], "VALARM")

	require.Equal(t, string(cancelled), string(written(t, cal, reread(t, cancelled))), "the same plan again on the same day")

	cal.Issue += 2 // its base is now past the cancellation's SEQUENCE
	require.NotContains(t, reread(t, written(t, cal, reread(t, cancelled))), superUID)

	back := sample(t)
	again := reread(t, written(t, back, reread(t, cancelled)))[superUID]
	require.False(t, again.Cancelled)
	require.Greater(t, again.Sequence, s.Sequence)
}

func TestOnlyWhatIsNotOverIsCancelled(t *testing.T) {
	for _, c := range []struct {
		issue string
		want  bool
	}{{"2027-05-11", true}, {"2027-05-12", true}, {"2027-05-13", false}, {"2027-08-01", false}} {
		t.Run(c.issue, func(t *testing.T) {
			old := reread(t, written(t, sample(t), nil))
			_, ok := reread(t, written(t, Calendar{Issue: day(t, c.issue)}, old))[superUID]
			require.Equal(t, c.want, ok)
		})
	}
}

// What other programs do to a file they store anew: LF only, no folding, lower
// case, properties and components added, another order. No event changed.
func TestReadsAnotherProgramsCopy(t *testing.T) {
	b := written(t, sample(t), nil)
	want := reread(t, b)
	foreign := "BEGIN:VEVENT\nUID:somebody@example.org\nDTSTART:20270101T100000Z\nEND:VEVENT\n"
	for _, c := range []struct {
		name string
		edit func(string) string
	}{
		{"LF", func(s string) string { return strings.ReplaceAll(s, "\r\n", "\n") }},
		{"BOM", func(s string) string { return "\uFEFF" + s }},
		{"unfolded", func(s string) string { return strings.ReplaceAll(s, "\r\n ", "") }},
		{"folded within characters", func(s string) string { return strings.ReplaceAll(s, "🐝", "\xf0\x9f\r\n \x90\x9d") }},
		{"blank lines", func(s string) string { return strings.ReplaceAll(s, "END:VEVENT\r\n", "END:VEVENT\r\n\r\n") }},
		{"lower case", func(s string) string { return strings.ReplaceAll(s, "SUMMARY:", "summary;LANGUAGE=en:") }},
		{"quoted parameter", func(s string) string { return strings.ReplaceAll(s, "SUMMARY:", `SUMMARY;ALTREP="cid:a;b":`) }},
		{"unknown property", func(s string) string {
			return strings.ReplaceAll(s, "BEGIN:VEVENT\r\n", "BEGIN:VEVENT\r\nX-SOME-LIST;A=B:1\r\nCLASS:PUBLIC\r\n")
		}},
		{"end left out", func(s string) string {
			return strings.ReplaceAll(s, "DTEND;VALUE=DATE:20270513\r\n", "")
		}},
		{"somebody's own event", func(s string) string {
			return strings.Replace(s, "BEGIN:VEVENT", foreign+"BEGIN:VEVENT", 1)
		}},
		{"last line without break", func(s string) string { return strings.TrimSuffix(s, "\r\n") }},
		{"DTSTAMP of the export", func(s string) string {
			return strings.ReplaceAll(s, "DTSTAMP:2027", "DTSTAMP:2031")
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			edited := c.edit(string(b))
			require.NotEqual(t, string(b), edited)
			got, err := ReadPublished(bytes.NewReader([]byte(edited)))
			require.NoError(t, err)
			require.Equal(t, want, got)
		})
	}
}
