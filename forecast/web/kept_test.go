package web

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"
)

// unpackedPage asks as browsers do, for a compressed page.
func (r *rig) unpackedPage(t *testing.T, target string, header ...string) string {
	t.Helper()
	got := r.get(target, append(header, "Accept-Encoding", "gzip")...)
	require.Equal(t, http.StatusOK, got.Code)
	require.Equal(t, "gzip", got.Header().Get("Content-Encoding"))
	z, err := gzip.NewReader(bytes.NewReader(got.Body.Bytes()))
	require.NoError(t, err)
	b, err := io.ReadAll(z)
	require.NoError(t, err)
	return string(b)
}

// A page that is kept is the page as it would be made anew, for each question,
// name of the machine and record.
func TestKeptPages(t *testing.T) {
	r := newRig(t, nil)
	same := func(target string, header ...string) {
		t.Helper()
		for range 2 {
			require.Equal(t, r.get(target, header...).Body.String(), r.unpackedPage(t, target, header...))
		}
	}
	same("/")
	same("/?place=sarnholt")
	same("/?place=sarnholt&units=us")
	same("/", "Host", "localhost:8747")
	same("/")
	require.Equal(t, http.StatusSeeOther, r.post("/note", url.Values{"kind": {NoteWeighed}, "kg": {"31.4"}}).Code)
	require.Contains(t, r.unpackedPage(t, "/"), "Weighed: 31.4 kg")
	same("/")
	require.Equal(t, http.StatusSeeOther, r.post("/undo", url.Values{"id": {"n"}}).Code)
	require.NotContains(t, r.unpackedPage(t, "/"), "Weighed: 31.4 kg")
}

// A calendar that was taken off the shelf, or changed there, is published
// anew.
func TestShelfCounts(t *testing.T) {
	r := newRig(t, nil)
	first := r.get(feedPath).Body.String()
	require.Equal(t, first, r.get(feedPath).Body.String())
	require.Equal(t, 1, r.writes)
	clear(r.files)
	require.Equal(t, first, r.get(feedPath).Body.String())
	require.Equal(t, 2, r.writes)
}

// BenchmarkPage is the plan of a county to one more reader.
func BenchmarkPage(b *testing.B) {
	r := newRig(b, nil)
	for b.Loop() {
		r.get("/", "Accept-Encoding", "gzip")
	}
}

// BenchmarkFeed is its calendar to one more reader.
func BenchmarkFeed(b *testing.B) {
	r := newRig(b, nil)
	for b.Loop() {
		r.get(feedPath)
	}
}
