// Command fetch-server is a loopback archive for kill-fetch.sh: three invented
// stations whose records it sends slowly and changes now and then. Every line
// of a record carries the version of its file, so that a mixture of two shows.
package main

import (
	"bytes"
	"fmt"
	"net"
	"net/http"
	"os"
	"strings"
	"sync"
	"time"
)

const (
	days          = 12000 // lines of a record
	askedAVersion = 7     // requests for records after which they change
	pieceWait     = 4 * time.Millisecond
)

type server struct {
	mu      sync.Mutex
	asked   int
	ranges  int
	version int
	frozen  bool
}

func (s *server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	switch {
	case r.URL.Path == "/stations.txt":
		s.send(w, r, list("%s  47.%d000  -93.2000  350.0    WILLOW BEND %s\n", false), "list")
	case r.URL.Path == "/inventory.txt":
		s.send(w, r, list("", true), "list")
	case r.URL.Path == "/freeze": // no more versions: the last run must reach this one
		s.mu.Lock()
		s.frozen = true
		fmt.Fprintln(w, s.version, s.ranges)
		s.mu.Unlock()
	case strings.HasPrefix(r.URL.Path, "/records/"):
		v := s.next(r.Header.Get("Range") != "")
		s.send(w, r, record(strings.TrimSuffix(strings.TrimPrefix(r.URL.Path, "/records/"), ".csv"), v), fmt.Sprint("v", v))
	default:
		http.NotFound(w, r)
	}
}

func (s *server) next(part bool) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.asked++
	if part {
		s.ranges++
	}
	if s.asked%askedAVersion == 0 && !s.frozen {
		s.version++
	}
	return s.version
}

func (s *server) send(w http.ResponseWriter, r *http.Request, text, tag string) {
	w.Header().Set("ETag", `"`+tag+`"`)
	w.Header().Set("Content-Type", "text/csv")
	http.ServeContent(w, r, "", time.Time{}, slow{bytes.NewReader([]byte(text))})
}

// slow waits before each piece.
type slow struct{ *bytes.Reader }

func (s slow) Read(b []byte) (int, error) {
	time.Sleep(pieceWait)
	return s.Reader.Read(b)
}

// WriteTo is hidden from io.Copy, which would send all at once.
func (s slow) WriteTo() {}

var ids = []string{"XX000000001", "XX000000002", "XX000000003"}

func list(form string, inventory bool) string {
	var b strings.Builder
	for i, id := range ids {
		if !inventory {
			fmt.Fprintf(&b, form, id, i+1, id)
			continue
		}
		for _, e := range []string{"TMAX", "TMIN"} {
			fmt.Fprintf(&b, "%s  47.%d000  -93.2000 %s 1950 2999\n", id, i+1, e)
		}
	}
	return b.String()
}

func record(id string, version int) string {
	var b strings.Builder
	b.WriteString("\"STATION\",\"DATE\",\"TMAX\",\"TMIN\"\n")
	for day := time.Date(1990, 1, 1, 0, 0, 0, 0, time.UTC); b.Len() < days*40; day = day.AddDate(0, 0, 1) {
		fmt.Fprintf(&b, "\"%s\",\"%s\",\"%5d\",\"%5d\"\n", id, day.Format(time.DateOnly), version, version)
	}
	fmt.Fprintf(&b, "\"%s\",\"2999-12-31\",\"%5d\",\"%5d\"\n", id, version, version)
	return b.String()
}

func main() {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	fmt.Printf("http://%s\n", l.Addr())
	fmt.Fprintln(os.Stderr, http.Serve(l, &server{}))
}
