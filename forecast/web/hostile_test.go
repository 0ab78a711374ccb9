package web

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"bloomtide/forecast/ical"
	"bloomtide/forecast/report"

	"github.com/stretchr/testify/require"
)

// Who may ask, and how. Status codes after RFC 9110 and RFC 6585.
func TestWhoIsAnswered(t *testing.T) {
	long := strings.Repeat("x", longestQuery+1)
	for _, c := range []struct {
		name, method, target string
		header               []string
		want                 int
	}{
		{"this machine", "GET", "/", nil, http.StatusOK},
		{"by name", "GET", "/", []string{"Host", "localhost:8747"}, http.StatusOK},
		{"IPv6", "GET", "/", []string{"Host", "[::1]:8747"}, http.StatusOK},
		{"a number at home", "GET", "/", []string{"Host", "192.168.1.7:8747"}, http.StatusOK},
		{"a name that was given", "GET", "/", []string{"Host", "Shed.local:8747"}, http.StatusOK},
		{"a name that another site points here", "GET", "/", []string{"Host", "rebound.example:8747"}, http.StatusMisdirectedRequest},
		{"a name that begins like ours", "GET", "/", []string{"Host", "localhost.example"}, http.StatusMisdirectedRequest},
		{"no name", "GET", "/", []string{"Host", ""}, http.StatusMisdirectedRequest},
		{"writing from another site", "POST", "/note", []string{"Sec-Fetch-Site", "cross-site"}, http.StatusForbidden},
		{"writing from another site, old browser", "POST", "/undo", []string{"Origin", "http://other.example"}, http.StatusForbidden},
		{"uploading from another site", "POST", "/weather", []string{"Origin", "null"}, http.StatusForbidden},
		{"writing by a link", "GET", "/note", nil, http.StatusMethodNotAllowed},
		{"deleting", "DELETE", "/", nil, http.StatusMethodNotAllowed},
		{"tracing", "TRACE", "/", nil, http.StatusMethodNotAllowed},
		{"asking what may be done", "OPTIONS", "/note", nil, http.StatusMethodNotAllowed},
		{"up the folders, twice encoded", "GET", "/feed/%252e%252e%252fx/calendar.ics", nil, http.StatusNotFound},
		{"up the folders, backward", "GET", "/feed/..%5c..%5cx/calendar.ics", nil, http.StatusNotFound},
		{"an end of text in the path", "GET", "/feed/sarnholt%00/calendar.ics", nil, http.StatusNotFound},
		{"lines in the path", "GET", "/feed/sarnholt%0d%0aX-Evil:1/calendar.ics", nil, http.StatusNotFound},
		{"lines in the query", "GET", "/?place=sarnholt%0d%0aSet-Cookie:a=b", nil, http.StatusNotFound},
		{"a script as a place", "GET", "/?place=%3Cscript%3Ealert(1)%3C/script%3E", nil, http.StatusNotFound},
		{"a comparison within a comparison", "GET", "/compare?q=" + url.QueryEscape("q="+url.QueryEscape("place=sarnholt")), nil, http.StatusOK},
		{"a range beyond the end", "GET", "/feed/calendar.ics", []string{"Range", "bytes=99999999-"}, http.StatusRequestedRangeNotSatisfiable},
		{"a form that is none", "POST", "/note", []string{"Content-Type", "application/json"}, http.StatusBadRequest},
		{"a weather file that is none", "POST", "/weather", []string{"Content-Type", "multipart/form-data; boundary=b"}, http.StatusUnprocessableEntity},
		{"an endless address", "GET", "/?place=" + long, nil, http.StatusRequestURITooLong},
		{"up the folders", "GET", "/../../etc/passwd", nil, http.StatusTemporaryRedirect},
		{"up the folders, cleaned", "GET", "/etc/passwd", nil, http.StatusNotFound},
		{"up the folders, hidden", "GET", "/feed/..%2f..%2fsecret-address/calendar.ics", nil, http.StatusNotFound},
		{"up the folders, in the query", "GET", "/?place=..%2f..%2fsecret-address", nil, http.StatusNotFound},
		{"our own templates", "GET", "/page/plan.html", nil, http.StatusNotFound},
		{"a date that is none", "GET", "/?issue=tomorrow", nil, http.StatusBadRequest},
		{"a latitude beyond the pole", "GET", "/?lat=91&lon=0", nil, http.StatusBadRequest},
		{"not a number", "GET", "/?lat=NaN&lon=0", nil, http.StatusBadRequest},
		{"hectares without end", "GET", "/?plant=basswood&ha=Inf", nil, http.StatusBadRequest},
		{"a thousand stands", "GET", "/?" + strings.Repeat("plant=a&ha=1&", 200), nil, http.StatusBadRequest},
		{"a broken query", "GET", "/compare?q=%25zz", nil, http.StatusBadRequest},
		{"a thousand places", "GET", "/compare?" + strings.Repeat("q=place%3Dsarnholt&", 300), nil, http.StatusUnprocessableEntity},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t, func(o *Options) { o.Hosts = []string{"shed.local"} })
			got := r.do(httptest.NewRequest(c.method, c.target, nil), c.header)
			require.Equal(t, c.want, got.Code, got.Body.String())
			require.Contains(t, got.Header().Get("Content-Security-Policy"), "default-src 'none'")
			require.NotContains(t, got.Header().Get("Content-Security-Policy"), "unsafe")
			require.Empty(t, r.notes)
		})
	}
}

// Beyond loopback, who does not know the secret finds nothing.
func TestSecretAddress(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Base = "/s3cret" })
	for target, want := range map[string]int{
		"/": http.StatusNotFound, "/feed/calendar.ics": http.StatusNotFound, "/page.css": http.StatusNotFound,
		"/s3cretx/": http.StatusNotFound, "/s3cret": http.StatusSeeOther, "/s3cret/": http.StatusOK,
		"/s3cret/feed/sarnholt/calendar.ics": http.StatusOK,
	} {
		require.Equal(t, want, r.get(target).Code, target)
	}
	page := r.get("/s3cret/").Body.String()
	require.Contains(t, page, "webcal://"+ownHost+"/s3cret/feed/sarnholt/calendar.ics")
	require.Equal(t, "same-origin", r.get("/s3cret/").Header().Get("Referrer-Policy"), "the secret stays here")
}

// Texts that would be markup, header lines or calendar lines stay texts.
func TestTextsStayTexts(t *testing.T) {
	const script = `"><script>alert(1)</script>`
	const lines = "x\r\nBEGIN:VEVENT\r\nUID:2025-evil-1.x@bloomtide\r\nEND:VEVENT"
	r := newRig(t, nil)
	r.forecast.Apiary.Name = script
	r.forecast.Warnings = append(r.forecast.Warnings, script, lines)
	views := report.TaskViews(r.forecast, report.Options{})
	r.notes = []Note{{ID: script, Kind: NoteDone, Task: views[0].UID, Title: lines, Day: r.forecast.Issue, Text: script}}
	for _, target := range []string{"/", "/places", "/places?search=" + url.QueryEscape(script), "/compare", "/report", "/?place=" + url.QueryEscape(script)} {
		body := r.get(target).Body.String()
		require.NotContains(t, body, "<script>alert", target)
		require.NotContains(t, body, "Sarn<b>", target)
	}
	for _, target := range []string{"/feed/sarnholt/calendar.ics", "/feed/calendar.ics", "/feed/sarnholt/calendar.ics?as=tasks"} {
		got := r.get(target)
		require.Equal(t, http.StatusOK, got.Code)
		kept, err := ical.ReadPublished(bytes.NewReader(got.Body.Bytes()))
		require.NoError(t, err)
		require.NotContains(t, kept, "2025-evil-1.x@bloomtide")
		require.Contains(t, kept, views[0].UID)
	}
	// What the keeper writes becomes one line before it reaches the record.
	form := url.Values{"kind": {NoteWeighed}, "kg": {"12"}, "text": {"a\r\nb\x00c"}}
	require.Equal(t, http.StatusSeeOther, r.post("/note", form).Code)
	require.Equal(t, "a b c", r.notes[1].Text)
}

// A form cannot lead the reader to another site.
func TestBackStaysHere(t *testing.T) {
	r := newRig(t, nil)
	for _, back := range []string{"", "//evil.example/", "https://evil.example/?a=1", "place=sarnholt&next=//evil.example", "\r\nX-Evil: 1"} {
		got := r.post("/note", url.Values{"kind": {NoteWeighed}, "kg": {"12"}, "back": {back}})
		if got.Code == http.StatusSeeOther {
			require.Equal(t, "/?place=sarnholt#record", got.Header().Get("Location"))
		}
		require.Empty(t, got.Header().Get("X-Evil"))
	}
}

// counter counts the octets that were taken from an endless body.
type counter struct {
	pattern string
	n       int64
	most    int64
}

func (c *counter) Read(p []byte) (int, error) {
	if c.n >= c.most {
		return 0, io.EOF
	}
	n := copy(p, c.pattern)
	c.n += int64(n)
	return n, nil
}

// A gigabyte is refused before it is read where its length is told, and at the
// limit where it is not.
func TestLargeUploads(t *testing.T) {
	const gigabyte = 1 << 30
	const head = "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"w.csv\"\r\n\r\n"
	for _, c := range []struct {
		name   string
		length int64
		most   int64 // octets that may be read
	}{
		{"told", gigabyte, 0},
		{"not told", -1, largestFile + inMemory},
	} {
		t.Run(c.name, func(t *testing.T) {
			body := &counter{pattern: strings.Repeat("2025-01-01,1,2\n", 4096), most: gigabyte}
			req := httptest.NewRequest(http.MethodPost, "/weather", io.MultiReader(strings.NewReader(head), body))
			req.Header.Set("Content-Type", "multipart/form-data; boundary=b")
			req.ContentLength = c.length
			got := newRig(t, nil).do(req, nil)
			require.Equal(t, http.StatusRequestEntityTooLarge, got.Code)
			require.LessOrEqual(t, body.n, c.most)
			require.Contains(t, got.Body.String(), "64 MB")
		})
	}
	form := url.Values{"kind": {NoteWeighed}, "kg": {"1"}, "text": {strings.Repeat("x", largestForm)}}
	require.Equal(t, http.StatusRequestEntityTooLarge, newRig(t, nil).post("/note", form).Code)
}

// Clients that stall are let go, and others are served meanwhile.
func TestStalledClients(t *testing.T) {
	l, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	served := make(chan error, 1)
	go func() {
		served <- Serve(ctx, l, newRig(t, nil), Limits{Header: 300 * time.Millisecond, Request: 600 * time.Millisecond, Clients: 8})
	}()
	dial := func(say string) net.Conn {
		c, err := new(net.Dialer).DialContext(t.Context(), "tcp", l.Addr().String())
		require.NoError(t, err)
		const patience = 30 * time.Second // ends a test that would hang
		require.NoError(t, c.SetDeadline(time.Now().Add(patience)))
		_, err = io.WriteString(c, say)
		require.NoError(t, err)
		return c
	}
	var stalled []net.Conn
	for range 8 { // every place is taken
		stalled = append(stalled, dial("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: "))
	}
	stalled[0].Close()
	stalled[0] = dial("POST /note HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 500\r\n\r\nkind=")
	honest := dial("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
	answer, err := http.ReadResponse(bufio.NewReader(honest), nil)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, answer.StatusCode)
	require.NoError(t, answer.Body.Close())
	for _, c := range stalled {
		_, err := io.Copy(io.Discard, c)
		require.NotErrorIs(t, err, context.DeadlineExceeded)
		var timeout net.Error
		require.NotErrorAs(t, err, &timeout, "the server still holds the connection")
	}
	stop()
	require.NoError(t, <-served)
}
