package web

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// patience ends a test that would hang.
const patience = 30 * time.Second

// served starts a page with short limits and returns where it listens.
func served(t *testing.T, l Limits) string {
	t.Helper()
	on, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	h := newRig(t, nil)
	go func() { ended <- Serve(ctx, on, h, l) }()
	t.Cleanup(func() {
		stop()
		require.NoError(t, <-ended)
	})
	return on.Addr().String()
}

func dialled(t *testing.T, at, say string) net.Conn {
	t.Helper()
	c, err := new(net.Dialer).DialContext(t.Context(), "tcp", at)
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	require.NoError(t, c.SetDeadline(time.Now().Add(patience)))
	_, _ = io.WriteString(c, say) // the other side may have had enough already
	return c
}

// What comes over the wire and is no request of ours is refused, or let go
// after its time, and the next reader is served. Status codes after RFC 9110
// and RFC 9112.
func TestHostileWire(t *testing.T) {
	const honest = "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"
	for _, c := range []struct {
		name, say string
		want      int // 0: the line is cut without an answer
	}{
		{"half a head", "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ", 0},
		{"half a body", "POST /note HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 500\r\n\r\nkind=", http.StatusUnprocessableEntity},
		{"nothing at all", "", 0},
		{"an endless head", "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Long: " + strings.Repeat("x", 8*largestHead), http.StatusRequestHeaderFieldsTooLarge},
		{"an encrypted greeting", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n", http.StatusBadRequest},
		{"no host", "GET / HTTP/1.1\r\n\r\n", http.StatusBadRequest},
		{"two hosts", "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nHost: evil.example\r\n\r\n", http.StatusBadRequest},
		{"a version to come", "GET / HTTP/9.9\r\nHost: 127.0.0.1\r\n\r\n", http.StatusHTTPVersionNotSupported},
		{"two lengths", "POST /note HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\nkind=x", http.StatusBadRequest},
		{"a length below zero", "POST /note HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: -1\r\n\r\n", http.StatusBadRequest},
		{"a chunk without end", "POST /note HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/x-www-form-urlencoded\r\nTransfer-Encoding: chunked\r\n\r\nfffffffffffffffff\r\n", http.StatusUnprocessableEntity},
		{"a blank in a name", "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX Evil: 1\r\n\r\n", http.StatusBadRequest},
		{"another protocol within", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", http.StatusMisdirectedRequest},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			at := served(t, Limits{Header: 300 * time.Millisecond, Request: 600 * time.Millisecond, Idle: 300 * time.Millisecond})
			line := bufio.NewReader(dialled(t, at, c.say))
			answer, err := http.ReadResponse(line, nil)
			if c.want == 0 {
				var timeout net.Error
				require.Error(t, err)
				require.NotErrorAs(t, err, &timeout, "the server still holds the line")
			} else {
				require.NoError(t, err)
				require.Equal(t, c.want, answer.StatusCode)
				require.NoError(t, answer.Body.Close())
			}
			next, err := http.ReadResponse(bufio.NewReader(dialled(t, at, honest)), nil)
			require.NoError(t, err)
			require.Equal(t, http.StatusOK, next.StatusCode)
			require.NoError(t, next.Body.Close())
		})
	}
}

// Who asks a thousand times and takes no answer is let go: the only place that
// there is goes to the next reader.
func TestWhoTakesNoAnswer(t *testing.T) {
	at := served(t, Limits{Answer: 500 * time.Millisecond, Clients: 1})
	const ask = "GET /?place=sarnholt HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
	dialled(t, at, strings.Repeat(ask, 1000)) // more than fits between the two
	honest := dialled(t, at, "GET /page.css HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
	answer, err := http.ReadResponse(bufio.NewReader(honest), nil)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, answer.StatusCode)
	require.NoError(t, answer.Body.Close())
}

// A weather file under a hostile name is refused or kept; its name stays text.
func TestHostileUploads(t *testing.T) {
	const script = `<script>alert(1)</script>`
	for name, file := range map[string]string{
		"script":         script + ".csv",
		"up the folders": "../../../../etc/cron.d/x",
		"lines":          "a\r\nSet-Cookie: x=y",
		"formula":        "=HYPERLINK(1).csv",
		"long":           strings.Repeat("x", 10000),
		"none":           "",
	} {
		t.Run(name, func(t *testing.T) {
			var got Upload
			r := newRig(t, func(o *Options) {
				o.Accept = func(u Upload) (Place, []string, error) {
					got = u
					return Place{ID: "x", Name: u.Place}, []string{u.FileName + ": odd"}, nil
				}
			})
			var b bytes.Buffer
			form := multipart.NewWriter(&b)
			part, err := form.CreateFormFile("file", file)
			require.NoError(t, err)
			_, err = io.WriteString(part, "date,tmin,tmax\n")
			require.NoError(t, err)
			require.NoError(t, form.WriteField("name", script))
			require.NoError(t, form.Close())
			req := httptest.NewRequest(http.MethodPost, "/weather", &b)
			req.Header.Set("Content-Type", form.FormDataContentType())
			answer := r.do(req, nil)
			if name != "none" { // a part without a file name is no file
				require.Equal(t, http.StatusOK, answer.Code, answer.Body.String())
			}
			require.NotContains(t, answer.Body.String(), script)
			require.Empty(t, answer.Header().Get("Set-Cookie"))
			require.NotContains(t, got.FileName, "\n")
		})
	}
}
