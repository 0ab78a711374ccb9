package ical

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"bloomtide/ingest/weather"
)

// Published holds what an earlier calendar said of each event, by UID.
type Published map[string]Stamp

// Stamp is what must be kept of an event to publish it again: enough to tell
// whether it changed, to number the change, and to cancel it.
type Stamp struct {
	Sequence  int   // revision number, 0 to 2147483647
	Modified  int64 // LAST-MODIFIED and DTSTAMP, seconds since 1970-01-01T00:00:00Z
	Day, End  weather.Date
	Summary   string
	Cancelled bool
	Digest    [sha256.Size]byte // of dates, texts, state and reminder
}

const (
	secondsPerDay = 86400
	// maxSequence is the largest INTEGER of RFC 5545 §3.3.8.
	maxSequence = math.MaxInt32
	// sequenceEpoch is 2000-01-01, from which first SEQUENCEs count days. Our
	// own choice: any fixed day before the first plan would do.
	sequenceEpoch weather.Date = 10957
)

// maxModified is the last second that a four-digit year can express.
var maxModified = time.Date(9999, time.December, 31, 23, 59, 59, 0, time.UTC).Unix()

// baseSequence is the SEQUENCE of an event first published on the issue date:
// days since 2000-01-01, 0 before that.
func baseSequence(issue weather.Date) int { return max(0, int(issue-sequenceEpoch)) }

// baseModified is the LAST-MODIFIED that goes with baseSequence: the start of
// the issue date.
func baseModified(issue weather.Date) int64 { return int64(issue) * secondsPerDay }

// first returns the revision of an event that was never published.
func first(issue weather.Date) Stamp {
	return Stamp{Sequence: baseSequence(issue), Modified: baseModified(issue)}
}

// revise returns the revision that follows s. Times are one second apart for
// each step beyond the base, so that they grow with every change on one day;
// they grow even if the issue date went back.
func (s Stamp) revise(issue weather.Date) Stamp {
	base := baseSequence(issue)
	seq := max(min(s.Sequence, maxSequence-1)+1, base)
	step := min(int64(seq-base), secondsPerDay-1)
	mod := max(baseModified(issue)+step, s.Modified+1)
	return Stamp{Sequence: seq, Modified: min(mod, maxModified)}
}

// owed reports whether an event that has left the plan must be in the file as
// cancelled: while it is not over, and until a later issue date whose base
// SEQUENCE is past its own. Up to then a calendar program may not have seen
// the cancellation, and an event that came back unknown would be numbered
// below it and ignored.
func (s Stamp) owed(issue weather.Date) bool {
	if s.End <= issue {
		return false
	}
	return !s.Cancelled || s.Sequence >= baseSequence(issue)
}

// entry is an event with the revision it is written under.
type entry struct {
	Event
	stamp Stamp
}

// settle returns the entries of the file by day and UID: the tidied events of
// the calendar, and the cancellations it owes.
func settle(c Calendar, previous Published, trigger string) ([]entry, error) {
	entries := make([]entry, 0, len(c.Events))
	seen := make(map[string]bool, len(c.Events))
	for _, e := range c.Events {
		e, err := e.tidy()
		if err != nil {
			return nil, err
		}
		if seen[e.UID] {
			return nil, fmt.Errorf("two events have the UID %s; name what tells them apart in it", e.UID)
		}
		seen[e.UID] = true
		entries = append(entries, entry{e, restamp(e, c, trigger, previous)})
	}
	for uid, old := range previous {
		if seen[uid] || !old.owed(c.Issue) {
			continue
		}
		e, err := Event{UID: uid, Day: old.Day, End: old.End, Summary: old.Summary, Cancelled: true}.tidy()
		if err != nil {
			return nil, fmt.Errorf("cancel an event of the earlier calendar: %w", err)
		}
		if !old.Cancelled {
			old = old.revise(c.Issue)
		}
		entries = append(entries, entry{e, old})
	}
	slices.SortFunc(entries, func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), strings.Compare(a.UID, b.UID))
	})
	return entries, nil
}

// restamp returns the revision of a tidied event: the one published if nothing
// changed, else the next.
func restamp(e Event, c Calendar, trigger string, previous Published) Stamp {
	old, known := previous[e.UID]
	switch {
	case !known:
		return first(c.Issue)
	case old.Digest == e.digest(trigger, c.Tasks):
		return old
	default:
		return old.revise(c.Issue)
	}
}

// digest fingerprints everything of a tidied event that its reader sees. The
// NUL between the parts occurs in no clean text. The day on which an event was
// done shows only in a task item.
func (e Event) digest(trigger string, task bool) [sha256.Size]byte {
	if e.Cancelled || e.Done != 0 {
		trigger = ""
	}
	parts := append([]string{e.Day.String(), e.End.String(), fmt.Sprint(e.Cancelled),
		trigger, e.Summary, e.Description}, e.Categories...)
	if task {
		parts = append(parts, "task", e.Done.String())
	}
	return sha256.Sum256([]byte(strings.Join(parts, "\x00")))
}
