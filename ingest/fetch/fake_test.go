package fetch

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// shelf is a Store in memory. It breaks after a number of changes, as if the
// program were killed there.
type shelf struct {
	files   map[string][]byte
	changes int
	killAt  int // the change that fails and all after it; 0: none
}

func newShelf() *shelf { return &shelf{files: map[string][]byte{}} }

type killed struct{}

func (killed) Error() string { return "killed" }

func (s *shelf) change() error {
	s.changes++
	if s.killAt > 0 && s.changes >= s.killAt {
		return killed{}
	}
	return nil
}

func (s *shelf) Open(name string) (io.ReadCloser, error) {
	b, ok := s.files[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return io.NopCloser(bytes.NewReader(bytes.Clone(b))), nil
}

func (s *shelf) Size(name string) (int64, error) {
	b, ok := s.files[name]
	if !ok {
		return 0, fs.ErrNotExist
	}
	return int64(len(b)), nil
}

func (s *shelf) Write(name string, content io.Reader) error {
	b, err := io.ReadAll(content)
	if err == nil {
		err = s.change()
	}
	if err == nil {
		s.files[name] = b
	}
	return err
}

func (s *shelf) Append(name string, afresh bool) (io.WriteCloser, error) {
	if err := s.change(); err != nil {
		return nil, err
	}
	if afresh || s.files[name] == nil {
		s.files[name] = []byte{}
	}
	return &appended{s, name}, nil
}

func (s *shelf) Rename(from, to string) error {
	if err := s.change(); err != nil {
		return err
	}
	b, ok := s.files[from]
	if !ok {
		return fs.ErrNotExist
	}
	delete(s.files, from)
	s.files[to] = b
	return nil
}

func (s *shelf) Remove(name string) error {
	if _, ok := s.files[name]; !ok {
		return nil
	}
	if err := s.change(); err != nil {
		return err
	}
	delete(s.files, name)
	return nil
}

type appended struct {
	s    *shelf
	name string
}

// Write appends in pieces, so that a kill can fall within.
func (a *appended) Write(b []byte) (int, error) {
	const piece = 1000
	for at := 0; at < len(b); at += piece {
		if err := a.s.change(); err != nil {
			return at, err
		}
		a.s.files[a.name] = append(a.s.files[a.name], b[at:min(at+piece, len(b))]...)
	}
	return len(b), nil
}

func (a *appended) Close() error { return nil }

// watch is a Clock that goes only when it is told to.
type watch struct {
	mu     sync.Mutex
	now    time.Time
	slept  []time.Duration
	timers map[int]func()
	made   int
}

func newWatch() *watch {
	return &watch{now: time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC), timers: map[int]func(){}}
}

func (w *watch) Now() time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.now
}

func (w *watch) pass(d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now = w.now.Add(d)
}

func (w *watch) Sleep(ctx context.Context, d time.Duration) error {
	w.pass(d)
	w.mu.Lock()
	defer w.mu.Unlock()
	w.slept = append(w.slept, d)
	return ctx.Err()
}

func (w *watch) AfterFunc(_ time.Duration, f func()) func() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.made++
	id := w.made
	w.timers[id] = f
	return func() {
		w.mu.Lock()
		defer w.mu.Unlock()
		delete(w.timers, id)
	}
}

// ring lets every timer that runs go off, as after a very long time.
func (w *watch) ring() {
	w.mu.Lock()
	defer w.mu.Unlock()
	newest := 0
	for id := range w.timers {
		newest = max(newest, id)
	}
	if f := w.timers[newest]; f != nil {
		go f()
	}
}

// recordText is an invented by-station record of so many days.
func recordText(days int) string {
	var b strings.Builder
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n")
	day := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)
	for range days {
		b.WriteString(`"XX000000001","` + day.Format(time.DateOnly) + `","47.5","-93.2","350.0","WILLOW BEND, INVENTED","  120",",,S","   20",",,S"` + "\n")
		day = day.AddDate(0, 0, 1)
	}
	return b.String()
}

// clientFor returns a client of a loopback server.
func clientFor(t testing.TB, address string, s Store, w Clock, change ...func(*Options)) *Client {
	t.Helper()
	o := Options{
		Addresses: Addresses{Stations: address + "/stations.txt", Inventory: address + "/inventory.txt", Records: address + "/records/", Outlook: address + "/outlook"},
		AllowHTTP: true, AllowPrivate: true, Seed: 1,
	}
	for _, f := range change {
		f(&o)
	}
	c, err := New(o, s, w)
	require.NoError(t, err)
	t.Cleanup(c.Close)
	return c
}
