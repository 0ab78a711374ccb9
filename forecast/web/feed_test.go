package web

import (
	"bytes"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"bloomtide/forecast"
	"bloomtide/forecast/ical"
	"bloomtide/forecast/report"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

const feedPath = "/feed/sarnholt/calendar.ics"

// renewed is the forecast of another day: the page computes it anew.
func (r *rig) renewed(t *testing.T, change func(*forecast.Forecast)) *rig {
	t.Helper()
	next := newRig(t, func(o *Options) { o.Log, o.Shelf = r.memory, r.memory })
	next.memory, next.forecast = r.memory, r.forecast
	next.forecast.Tasks = slices.Clone(r.forecast.Tasks)
	change(&next.forecast)
	return next
}

func published(t *testing.T, b *bytes.Buffer) ical.Published {
	t.Helper()
	p, err := ical.ReadPublished(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	return p
}

// RFC 5545 §3.8.7.4 and RFC 9110 §13.1: an unchanged plan is the same bytes and
// answers 304; a moved date is the same UID under a higher SEQUENCE; a task
// that is gone is cancelled.
func TestFeedFollowsThePlan(t *testing.T) {
	r := newRig(t, nil)
	first := r.get(feedPath)
	require.Equal(t, http.StatusOK, first.Code)
	require.Equal(t, "text/calendar; charset=utf-8", first.Header().Get("Content-Type"))
	require.Contains(t, first.Body.String(), "REFRESH-INTERVAL;VALUE=DURATION:P1D\r\n")
	tag, changed := first.Header().Get("ETag"), first.Header().Get("Last-Modified")
	require.Equal(t, http.StatusNotModified, r.get(feedPath, "If-None-Match", tag).Code)
	require.Equal(t, http.StatusNotModified, r.get(feedPath, "If-Modified-Since", changed).Code)

	later := r.renewed(t, func(f *forecast.Forecast) { f.Issue += 3 })
	again := later.get(feedPath)
	require.Equal(t, first.Body.String(), again.Body.String(), "an unchanged plan on a later day")
	require.Equal(t, changed, again.Header().Get("Last-Modified"))

	before := published(t, first.Body)
	moved := later.renewed(t, func(f *forecast.Forecast) {
		f.Tasks[2].Window.Likely += 4
		f.Tasks = slices.Delete(f.Tasks, 5, 6)
	})
	third := moved.get(feedPath, "If-None-Match", tag)
	require.Equal(t, http.StatusOK, third.Code)
	after := published(t, third.Body)
	require.Len(t, after, len(before), "same UIDs")
	views := report.TaskViews(r.forecast, report.Options{})
	for uid, old := range before {
		now := after[uid]
		switch uid {
		case views[2].UID:
			require.Greater(t, now.Sequence, old.Sequence)
			require.Equal(t, old.Day+4, now.Day)
		case views[5].UID:
			require.True(t, now.Cancelled)
			require.Greater(t, now.Sequence, old.Sequence)
		default:
			require.Equal(t, old, now)
		}
	}
}

// What is done is marked in the page and, on its day, in the calendar; undoing
// it brings the task back.
func TestDoneAndUndone(t *testing.T) {
	r := newRig(t, nil)
	before := published(t, r.get(feedPath).Body)
	task := report.TaskViews(r.forecast, report.Options{})[2]
	day := r.forecast.Issue + 1
	got := r.post("/note", url.Values{"kind": {NoteDone}, "task": {task.UID}, "day": {day.String()}, "back": {"place=sarnholt&units=us"}})
	require.Equal(t, http.StatusSeeOther, got.Code, got.Body.String())
	require.Equal(t, "/?place=sarnholt&units=us#record", got.Header().Get("Location"))
	require.Contains(t, r.get("/").Body.String(), `class="done"`)

	body := r.get(feedPath).Body
	require.Contains(t, body.String(), "SUMMARY:Done: "+task.Title)
	after := published(t, body)
	require.Greater(t, after[task.UID].Sequence, before[task.UID].Sequence)
	require.Equal(t, day, after[task.UID].Day)
	tasks := r.get(feedPath + "?as=tasks").Body.String()
	require.Contains(t, tasks, "STATUS:COMPLETED")
	require.NotContains(t, tasks, "VEVENT")

	// The task leaves the plan: the calendar still tells that it was done.
	gone := r.renewed(t, func(f *forecast.Forecast) { f.Tasks = slices.Delete(f.Tasks, 2, 3) })
	require.Contains(t, gone.get(feedPath).Body.String(), "SUMMARY:Done: "+task.Title)

	require.Equal(t, http.StatusSeeOther, r.post("/undo", url.Values{"id": {"n"}}).Code)
	back := published(t, r.get(feedPath).Body)
	require.Equal(t, before[task.UID].Day, back[task.UID].Day)
	require.Greater(t, back[task.UID].Sequence, after[task.UID].Sequence)
	require.Equal(t, http.StatusUnprocessableEntity, r.post("/undo", url.Values{"id": {"n"}}).Code)
}

func TestBadNotes(t *testing.T) {
	for name, form := range map[string]url.Values{
		"no kind":       {},
		"no such task":  {"kind": {NoteDone}, "task": {"2025-super-1.elsewhere@bloomtide"}},
		"no weight":     {"kind": {NoteWeighed}, "kg": {"heavy"}},
		"negative":      {"kind": {NoteWeighed}, "kg": {"-3"}},
		"not a number":  {"kind": {NoteWeighed}, "kg": {"NaN"}},
		"unknown plant": {"kind": {NoteBloom}, "plant": {"=1+1"}, "stage": {"first"}},
		"unknown stage": {"kind": {NoteBloom}, "plant": {"basswood"}, "stage": {"over"}},
		"no such day":   {"kind": {NoteBloom}, "plant": {"basswood"}, "stage": {"first"}, "day": {"2025-02-30"}},
		"a long note":   {"kind": {NoteWeighed}, "kg": {"3"}, "text": {strings.Repeat("x", longestText+1)}},
	} {
		r := newRig(t, nil)
		require.Equal(t, http.StatusBadRequest, r.post("/note", form).Code, name)
		require.Empty(t, r.notes, name)
	}
}

// All places come in one calendar, each task under the name of its place.
func TestFeedOfAll(t *testing.T) {
	got := newRig(t, nil).get("/feed/calendar.ics").Body.String()
	require.Contains(t, got, "NAME:Hive plans")
	require.Contains(t, got, "SUMMARY:Sarnholt: ")
}

// A calendar of last time that cannot be read is told, not written over.
func TestBrokenCalendarOfLastTime(t *testing.T) {
	r := newRig(t, nil)
	require.Equal(t, http.StatusOK, r.get(feedPath).Code)
	for name := range r.files {
		r.files[name] = []byte("torn")
	}
	got := r.get(feedPath)
	require.Equal(t, http.StatusUnprocessableEntity, got.Code)
	require.Contains(t, got.Body.String(), "move it away to start anew")
	require.Equal(t, 1, r.writes)
}

// Fifty readers of one question cost one forecast.
func TestManyReadersAskOnce(t *testing.T) {
	r := newRig(t, nil)
	done := make(chan int)
	const readers = 50
	for i := range readers {
		target := "/"
		if i%2 == 1 {
			target = feedPath
		}
		go func() { done <- r.get(target).Code }()
	}
	for range readers {
		require.Equal(t, http.StatusOK, <-done)
	}
	require.Len(t, r.asked, 1)
	require.LessOrEqual(t, r.writes, 1)
	r.get("/?boxes=1&issue=" + weather.Date(r.forecast.Issue+1).String())
	require.Len(t, r.asked, 2)
	require.Equal(t, 1, r.asked[1].BroodBoxes)
	require.Equal(t, "medium", r.asked[1].Super, "the place's own setting stands where nothing is chosen")
}
