package fetch

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// visit is one request that the server of a case has met.
type visit struct{ rangeOf, ifRange, ifNone, ifSince, agent, encoding string }

// hostile is a server that answers request n, from 1, as the case says.
type hostile struct {
	visits []visit
	answer func(n int, w http.ResponseWriter, r *http.Request)
}

func (h *hostile) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	g := r.Header.Get
	h.visits = append(h.visits, visit{g("Range"), g("If-Range"), g("If-None-Match"), g("If-Modified-Since"), g("User-Agent"), g("Accept-Encoding")})
	h.answer(len(h.visits), w, r)
}

// whole serves a text as package net/http does: ranges, validators, 304, 416.
func whole(text, etag string) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, r *http.Request) {
		if etag != "" {
			w.Header().Set("ETag", etag)
		}
		w.Header().Set("Content-Type", "text/csv")
		http.ServeContent(w, r, "", time.Time{}, strings.NewReader(text))
	}
}

// torn sends n octets of a text of which it has promised all, and hangs up.
func torn(text, etag string, n int) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("ETag", etag)
		w.Header().Set("Content-Length", strconv.Itoa(len(text)))
		io.WriteString(w, text[:n])
		w.(http.Flusher).Flush()
		panic(http.ErrAbortHandler)
	}
}

func packed(text []byte) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	z.Write(text)
	z.Close()
	return b.Bytes()
}

func status(code int, headers ...string) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, _ *http.Request) {
		for i := 0; i+1 < len(headers); i += 2 {
			w.Header().Set(headers[i], headers[i+1])
		}
		w.WriteHeader(code)
	}
}

// chunked sends a text without its length.
func chunked(text string) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, _ *http.Request) {
		io.WriteString(w, text[:len(text)/2])
		w.(http.Flusher).Flush()
		io.WriteString(w, text[len(text)/2:])
	}
}

type answers []func(http.ResponseWriter, *http.Request)

// in answers each request in turn, the last ones with the last.
func (a answers) in(n int, w http.ResponseWriter, r *http.Request) { a[min(n, len(a))-1](w, r) }

// What a client owes to each answer is RFC 9110: sections 13.1 (conditions),
// 14 (ranges), 15 (status codes), 10.2.3 (Retry-After). The server's side of
// ranges and conditions is package net/http's.
func TestServersThatMisbehave(t *testing.T) {
	text, other := recordText(400), recordText(500)
	bomb := packed(append([]byte(recordText(1)), bytes.Repeat([]byte("0,0,0\n"), 2<<20)...)) // 12 MiB in a few KiB
	for _, c := range []struct {
		name    string
		answers answers
		stored  string // what is in the store before, with ETag "a"
		want    string // what is in the store after
		state   State
		fails   string // in the error or in the outcome's
		visits  int
		slept   []time.Duration // least waits, in order
		last    visit           // what matters of the last request
	}{
		{name: "fine", answers: answers{whole(text, `"a"`)}, want: text, state: Fetched, visits: 1},
		{name: "503 then fine", answers: answers{status(503), whole(text, "")}, want: text, state: Fetched, visits: 2, slept: []time.Duration{time.Second / 2}},
		{name: "busy to the end", answers: answers{status(503)}, fails: "503", visits: 5},
		{name: "429 with seconds", answers: answers{status(429, "Retry-After", "77"), whole(text, "")}, want: text, state: Fetched, visits: 2, slept: []time.Duration{77 * time.Second}},
		{name: "429 with a date", answers: answers{status(429, "Retry-After", "Wed, 01 Apr 2026 12:02:00 GMT"), whole(text, "")}, want: text, state: Fetched, visits: 2, slept: []time.Duration{2 * time.Minute}},
		{name: "429 for hours", answers: answers{status(429, "Retry-After", "7200")}, fails: "come back in 2h0m0s", visits: 1},
		{name: "404", answers: answers{status(404)}, fails: "404", visits: 1},
		{name: "403", answers: answers{status(403)}, fails: "403", visits: 1},
		{name: "truncated, then the rest", answers: answers{torn(text, `"a"`, 20000), whole(text, `"a"`)}, want: text, state: Fetched, visits: 2, last: visit{ifRange: `"a"`, rangeOf: "bytes=20000-"}},
		{name: "truncated thrice", answers: answers{torn(text, `"a"`, 20000), resumed(text, `"a"`, 5000), resumed(text, `"a"`, 1), whole(text, `"a"`)}, want: text, state: Fetched, visits: 4, last: visit{ifRange: `"a"`, rangeOf: "bytes=25001-"}},
		{name: "truncated, no validator", answers: answers{torn(text, "", 20000), whole(text, "")}, want: text, state: Fetched, visits: 2, last: visit{}},
		{name: "truncated, weak validator", answers: answers{torn(text, `W/"a"`, 20000), whole(text, `W/"a"`)}, want: text, state: Fetched, visits: 2, last: visit{}},
		{name: "changed while resuming", answers: answers{torn(text, `"a"`, 20000), whole(other, `"b"`)}, want: other, state: Fetched, visits: 2, last: visit{ifRange: `"a"`, rangeOf: "bytes=20000-"}},
		{name: "changed, and the server ignores If-Range", answers: answers{torn(text, `"a"`, 20000), resumedAs(other, `"b"`, len(other)), whole(other, `"b"`)}, want: other, state: Fetched, visits: 3, last: visit{}},
		{name: "rest from another octet", answers: answers{torn(text, `"a"`, 20000), func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Range", fmt.Sprintf("bytes 5-%d/%d", len(text)-1, len(text)))
			w.WriteHeader(206)
			io.WriteString(w, text[5:])
		}, whole(text, `"a"`)}, want: text, state: Fetched, visits: 3, last: visit{}},
		{name: "416", answers: answers{torn(text, `"a"`, 20000), status(416), whole(text, `"a"`)}, want: text, state: Fetched, visits: 3, last: visit{}},
		{name: "206 that nobody asked for", answers: answers{status(206)}, fails: "206", visits: 5},
		{name: "304", stored: text, answers: answers{whole(text, `"a"`)}, want: text, state: Unchanged, visits: 1, last: visit{ifNone: `"a"`}},
		{name: "304 that nobody asked for", answers: answers{status(304)}, fails: "304", visits: 1},
		{name: "newer", stored: text, answers: answers{whole(other, `"b"`)}, want: other, state: Fetched, visits: 1, last: visit{ifNone: `"a"`}},
		{name: "busy, one stored", stored: text, answers: answers{status(503)}, want: text, state: Kept, fails: "503", visits: 5},
		{name: "gone, one stored", stored: text, answers: answers{status(404)}, want: text, state: Kept, fails: "404", visits: 1},
		{name: "longer than promised", answers: answers{func(w http.ResponseWriter, _ *http.Request) {
			hijack(w, "HTTP/1.1 200 OK\r\nContent-Length: 500\r\nConnection: close\r\n\r\n"+text[:500]+"\nmore and more")
		}}, want: text[:500], state: Fetched, visits: 1},
		{name: "shorter than promised to the end", answers: answers{torn(text, `"a"`, 700), resumed(text, `"a"`, 0)}, fails: "connection failed", visits: 5},
		{name: "two lengths", answers: answers{func(w http.ResponseWriter, _ *http.Request) {
			hijack(w, "HTTP/1.1 200 OK\r\nContent-Length: 9\r\nContent-Length: 7\r\n\r\n"+text)
		}}, fails: "connection failed", visits: 5},
		{name: "no HTTP at all", answers: answers{func(w http.ResponseWriter, _ *http.Request) { hijack(w, "220 mail.example ESMTP\r\n") }}, fails: "connection failed", visits: 5},
		{name: "unending header", answers: answers{func(w http.ResponseWriter, _ *http.Request) {
			hijack(w, "HTTP/1.1 200 OK\r\nX: "+strings.Repeat("x", 1<<20)+"\r\n\r\n")
		}}, fails: "connection failed", visits: 5},
		{name: "no length, whole", answers: answers{chunked(text)}, want: text, state: Fetched, visits: 1},
		{name: "no length, cut within a line", answers: answers{closed(text[:5000])}, fails: "ends within a line", visits: 5},
		{name: "no length, cut between lines", stored: text, answers: answers{closed(text[:strings.LastIndex(text[:9000], "\n")+1])}, want: text, state: Kept, fails: "the stored file has", visits: 5},
		{name: "too long by its length", answers: answers{func(w http.ResponseWriter, _ *http.Request) {
			hijack(w, "HTTP/1.1 200 OK\r\nContent-Length: 3000000\r\n\r\n"+text)
		}}, fails: "longer than 1 MiB", visits: 1},
		{name: "too long without a length", answers: answers{chunked(recordText(12000))}, fails: "longer than 1 MiB", visits: 1},
		{name: "gzip that nobody asked for", answers: answers{sent(packed([]byte(text)), "Content-Encoding", "gzip")}, want: text, state: Fetched, visits: 1},
		{name: "gzip bomb", answers: answers{sent(bomb, "Content-Encoding", "gzip")}, fails: "longer than 2 MiB once unpacked", visits: 1},
		{name: "gzip bomb, one stored", stored: text, answers: answers{sent(bomb, "Content-Encoding", "gzip")}, want: text, state: Kept, fails: "longer than 2 MiB once unpacked", visits: 1},
		{name: "damaged gzip", answers: answers{sent(append(packed([]byte(text))[:300], "xxxxxxxxxxxxxxxxxxxxx"...), "Content-Encoding", "gzip")}, fails: "the packed answer is damaged", visits: 5},
		{name: "unknown packing", answers: answers{sent([]byte(text), "Content-Encoding", "br")}, fails: `packed as "br"`, visits: 1},
		{name: "a login page", answers: answers{sent([]byte("<!DOCTYPE html><html><body>Welcome, guest. Log in."), "Content-Type", "text/plain")}, fails: "web page", visits: 1},
		{name: "a login page by its type", stored: text, answers: answers{sent([]byte("Welcome"), "Content-Type", "text/html; charset=utf-8")}, want: text, state: Kept, fails: "web page", visits: 1},
		{name: "a login page in gzip", answers: answers{sent(packed([]byte("\n <HTML>Welcome")), "Content-Encoding", "gzip", "Content-Type", "text/csv")}, fails: "web page", visits: 1},
		{name: "a login page while resuming", answers: answers{torn(text, `"a"`, 20000), sent([]byte("<html>"), "Content-Type", "text/html")}, fails: "web page", visits: 2},
		{name: "an error in JSON", answers: answers{sent([]byte(`{"error":true}`), "Content-Type", "application/json")}, fails: "not the data asked for", visits: 1},
		{name: "nothing", answers: answers{sent(nil)}, fails: "not the data asked for", visits: 1},
		{name: "redirect to itself", answers: answers{status(302, "Location", "/records/XX000000001.csv")}, fails: "more than 5 redirects", visits: 6},
		{name: "redirect on the host", answers: answers{status(301, "Location", "/elsewhere.csv"), whole(text, "")}, want: text, state: Fetched, visits: 2},
		{name: "redirect to another host", answers: answers{status(302, "Location", "https://other.invalid/x.csv")}, fails: "the host is not one of the settings", visits: 1},
		{name: "redirect to another port", answers: answers{status(302, "Location", "http://127.0.0.1:9/x.csv")}, fails: "the host is not one of the settings", visits: 1},
		{name: "redirect to a file", answers: answers{status(302, "Location", "file:///x.csv")}, fails: "not https", visits: 1},
		{name: "redirect with a password", answers: answers{status(302, "Location", "//a:b@127.0.0.1:9/x.csv")}, fails: "password", visits: 1},
		{name: "redirect to nowhere", answers: answers{status(302)}, fails: "302", visits: 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := &hostile{answer: c.answers.in}
			srv := httptest.NewServer(h)
			defer srv.Close()
			s, w := newShelf(), newWatch()
			client := clientFor(t, srv.URL, s, w, func(o *Options) { o.MaxBytes, o.MaxPlain = 1<<20, 2<<20 })
			it := item{address: srv.URL + "/records/XX000000001.csv", name: "XX000000001.csv", kind: stationRecord}
			if c.stored != "" {
				store(t, client, it, c.stored)
			}
			out, err := client.get(context.Background(), it)
			if c.want == "" {
				require.ErrorContains(t, err, c.fails)
				require.NotContains(t, s.files, it.name)
			} else {
				require.NoError(t, err)
				require.Equal(t, c.want, string(s.files[it.name]))
				require.Equal(t, c.state, out.State)
				if c.fails != "" {
					require.ErrorContains(t, out.Err, c.fails)
				} else {
					require.NoError(t, out.Err)
				}
			}
			require.Len(t, h.visits, c.visits)
			got := h.visits[len(h.visits)-1]
			require.Equal(t, "identity", got.encoding)
			require.Equal(t, defaultAgent, got.agent)
			if c.last != (visit{}) || strings.HasPrefix(c.name, "truncated") {
				got.agent, got.encoding = "", ""
				require.Equal(t, c.last, got)
			}
			waits := w.slept
			for _, least := range c.slept {
				require.GreaterOrEqual(t, waits[0], least)
				waits = waits[1:]
			}
		})
	}
}

// store puts a file in the store as an earlier run has left it, a day ago.
func store(t *testing.T, c *Client, it item, text string) {
	t.Helper()
	sum := newShelf()
	sum.files["x"] = []byte(text)
	require.NoError(t, c.store.Write(it.name, strings.NewReader(text)))
	require.NoError(t, c.note(beside(it.name, aboutEnding), record{
		Address: it.address, ETag: `"a"`, Total: int64(len(text)), Size: int64(len(text)),
		SHA256: c.sum(it.name), Asked: c.clock.Now().Add(-24 * time.Hour),
	}))
}

// resumed answers a range, promises the rest and hangs up after n octets.
func resumed(text, etag string, n int) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, r *http.Request) {
		resumedAs(text, etag, n)(w, r)
		panic(http.ErrAbortHandler)
	}
}

// resumedAs answers any range, whatever If-Range says.
func resumedAs(text, etag string, n int) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, r *http.Request) {
		var from int
		if _, err := fmt.Sscanf(r.Header.Get("Range"), "bytes=%d-", &from); err != nil {
			w.WriteHeader(400)
			return
		}
		w.Header().Set("ETag", etag)
		w.Header().Set("Content-Range", fmt.Sprintf("bytes %d-%d/%d", from, len(text)-1, len(text)))
		w.Header().Set("Content-Length", strconv.Itoa(len(text)-from))
		w.WriteHeader(206)
		io.WriteString(w, text[from:min(from+n, len(text))])
		w.(http.Flusher).Flush()
	}
}

// sent sends octets with headers given in pairs.
func sent(body []byte, headers ...string) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/csv")
		for i := 0; i+1 < len(headers); i += 2 {
			w.Header().Set(headers[i], headers[i+1])
		}
		w.Write(body)
	}
}

// closed ends an answer by hanging up, as HTTP/1.0 does: RFC 9112 section 6.3.
func closed(text string) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, _ *http.Request) {
		hijack(w, "HTTP/1.0 200 OK\r\nContent-Type: text/csv\r\n\r\n"+text)
	}
}

func hijack(w http.ResponseWriter, answer string) {
	conn, _, err := w.(http.Hijacker).Hijack()
	if err != nil {
		return
	}
	io.WriteString(conn, answer)
	conn.Close()
}

// A server that falls silent, before or within the answer, is given up after
// the stall time; what has come is kept and gone on from.
func TestSilentServer(t *testing.T) {
	text := recordText(400)
	for _, c := range []struct {
		name string
		send int
	}{{"before the answer", 0}, {"within the answer", 30000}} {
		t.Run(c.name, func(t *testing.T) {
			w := newWatch()
			h := &hostile{answer: func(n int, to http.ResponseWriter, r *http.Request) {
				if n > 1 {
					whole(text, `"a"`)(to, r)
					return
				}
				if c.send > 0 {
					to.Header().Set("ETag", `"a"`)
					to.Header().Set("Content-Length", strconv.Itoa(len(text)))
					io.WriteString(to, text[:c.send])
					to.(http.Flusher).Flush()
				}
				for r.Context().Err() == nil { // until the client has hung up
					w.ring()
					select {
					case <-r.Context().Done():
					case <-time.After(time.Millisecond):
					}
				}
			}}
			srv := httptest.NewServer(h)
			defer srv.Close()
			s := newShelf()
			client := clientFor(t, srv.URL, s, w)
			out, err := client.get(context.Background(), item{address: srv.URL + "/records/x.csv", name: "x.csv", kind: stationRecord})
			require.NoError(t, err)
			require.Equal(t, text, string(s.files["x.csv"]))
			require.Len(t, h.visits, 2)
			require.LessOrEqual(t, out.Resumed, int64(c.send))
		})
	}
}

// One connection a host, and a pause between requests.
func TestPauseAndOneConnection(t *testing.T) {
	var remotes []string
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		remotes = append(remotes, r.RemoteAddr)
		whole(recordText(3), "")(w, r)
	}))
	defer srv.Close()
	w := newWatch()
	client := clientFor(t, srv.URL, newShelf(), w)
	for i := range 4 {
		_, err := client.get(context.Background(), item{address: srv.URL + "/records/" + strconv.Itoa(i) + ".csv", name: strconv.Itoa(i), kind: stationRecord})
		require.NoError(t, err)
	}
	require.Equal(t, []time.Duration{time.Second, time.Second, time.Second}, w.slept)
	for _, r := range remotes {
		require.Equal(t, remotes[0], r)
	}
}

// Where nobody answers, one file is tried and no other.
func TestNoNetwork(t *testing.T) {
	srv := httptest.NewServer(http.NotFoundHandler())
	address := srv.URL
	srv.Close()
	w := newWatch()
	client := clientFor(t, address, newShelf(), w)
	waits := 0
	for range 3 {
		_, err := client.get(context.Background(), item{address: address + "/records/x.csv", name: "x.csv", kind: stationRecord})
		require.Error(t, err)
		require.True(t, Offline(err), err.Error())
		require.ErrorContains(t, err, "refused")
		if waits == 0 {
			waits = len(w.slept)
		}
	}
	require.NotZero(t, waits)
	require.Len(t, w.slept, waits, "only the first file is tried again")
}

// Ctrl-C ends a wait at once and is told as such.
func TestInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.WriteHeader(503)
		stop()
	}))
	defer srv.Close()
	client := clientFor(t, srv.URL, newShelf(), newWatch())
	_, err := client.get(ctx, item{address: srv.URL + "/records/x.csv", name: "x.csv", kind: stationRecord})
	require.ErrorIs(t, err, context.Canceled)
}

// Killed at every change of the store in turn: what was stored is there whole,
// old or new, and the next run completes.
func TestKilledAtEveryMoment(t *testing.T) {
	old, text := recordText(40), recordText(60)
	for _, zip := range []bool{false, true} {
		srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if zip {
				w.Header().Set("Content-Encoding", "gzip")
				w.Header().Set("ETag", `"z"`)
				w.Write(packed([]byte(text)))
				return
			}
			whole(text, `"b"`)(w, r)
		}))
		finished := false
		for kill := 1; !finished; kill++ {
			s := newShelf()
			client := clientFor(t, srv.URL, s, newWatch(), func(o *Options) { o.Pause = -1 })
			it := item{address: srv.URL + "/records/x.csv", name: "x.csv", kind: stationRecord}
			store(t, client, it, old)
			s.changes, s.killAt = 0, kill
			_, err := client.get(context.Background(), it)
			finished = err == nil
			if !finished {
				require.ErrorIs(t, err, killed{})
			}
			require.Contains(t, []string{old, text}, string(s.files["x.csv"]), "kill %d", kill)
			s.killAt = 0
			_, err = client.get(context.Background(), it)
			require.NoError(t, err)
			require.Equal(t, text, string(s.files["x.csv"]))
			require.Len(t, s.files, 2, "the file and its record, no rest")
			require.Less(t, kill, 50, "it ends")
		}
		srv.Close()
	}
}

// A rule of ours that is broken is no reason to try again.
func TestAddressErrorIsFinal(t *testing.T) {
	var e *AddressError
	srv := httptest.NewServer(status0())
	defer srv.Close()
	w := newWatch()
	client := clientFor(t, srv.URL, newShelf(), w, func(o *Options) { o.AllowPrivate = false })
	_, err := client.get(context.Background(), item{address: srv.URL + "/records/x.csv", name: "x.csv", kind: stationRecord})
	require.True(t, errors.As(err, &e), "%v", err)
	require.ErrorContains(t, err, "not an address of the public internet")
	require.Empty(t, w.slept)
}

func status0() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(200) })
}
