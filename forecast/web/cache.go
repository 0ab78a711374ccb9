package web

import (
	"context"
	"errors"
	"slices"
	"sync"
	"sync/atomic"

	"bloomtide/forecast"
	"bloomtide/forecast/chart"
)

// cache keeps the latest forecasts, so that a page, its feed and its report
// are of one piece and a hundred readers cost one computation. A question that
// is under way is waited for, not asked twice; no more than two are worked on
// at once.
type cache struct {
	run  func(Ask) (forecast.Forecast, error)
	room chan struct{}

	mu   sync.Mutex
	kept map[string]*answer
	used []string // keys, the one used last at the end
}

// answer is a forecast, or one to come: ready is closed when it is there.
type answer struct {
	ready    chan struct{}
	forecast forecast.Forecast
	err      error
	drawn    func() ([]chart.Drawing, error) // its charts, drawn when first looked at
	sheet    atomic.Pointer[sheet]           // its page as last shown, nil for none
}

// sheet is a page as it was sent, compressed, with what it depends on beside
// the forecast: how it was called and what the keeper had written down.
type sheet struct {
	host, query string
	notes       []Note
	packed      []byte
}

func (s *sheet) fits(of *sheet) bool {
	return s != nil && s.host == of.host && s.query == of.query && slices.Equal(s.notes, of.notes)
}

// Bounds of the work and of what is kept: a forecast takes some 100 kB. Our
// own choices.
const (
	atOnce   = 2
	mostKept = 64
)

func newCache(run func(Ask) (forecast.Forecast, error)) *cache {
	return &cache{run: run, room: make(chan struct{}, atOnce), kept: map[string]*answer{}}
}

// errBusy says that the reader went away before the answer came.
var errBusy = errors.New("too much to compute at this moment; try again")

// get returns the forecast that a question asks for.
func (c *cache) get(ctx context.Context, a Ask) (forecast.Forecast, error) {
	one, err := c.answer(ctx, a)
	if err != nil {
		return forecast.Forecast{}, err
	}
	return one.forecast, nil
}

// answer returns the forecast that a question asks for, with its charts.
func (c *cache) answer(ctx context.Context, a Ask) (*answer, error) {
	key := a.query()
	c.mu.Lock()
	one, known := c.kept[key]
	if !known {
		one = &answer{ready: make(chan struct{})}
		one.drawn = sync.OnceValues(func() ([]chart.Drawing, error) { return chart.All(one.forecast, a.US) })
		c.kept[key] = one
	}
	c.touch(key)
	c.mu.Unlock()
	if !known {
		go c.fill(key, a, one) // also if this reader goes away: others may wait
	}
	select {
	case <-one.ready:
		return one, one.err
	case <-ctx.Done():
		return nil, errBusy
	}
}

func (c *cache) fill(key string, a Ask, one *answer) {
	c.room <- struct{}{}
	defer func() { <-c.room }()
	one.forecast, one.err = c.run(a)
	if one.err != nil { // may be mended meanwhile
		c.mu.Lock()
		if c.kept[key] == one {
			delete(c.kept, key)
		}
		c.mu.Unlock()
	}
	close(one.ready)
}

// touch marks a key as used last and drops the one unused for longest.
func (c *cache) touch(key string) {
	for i, k := range c.used {
		if k == key {
			c.used = append(c.used[:i], c.used[i+1:]...)
			break
		}
	}
	c.used = append(c.used, key)
	for len(c.used) > mostKept {
		delete(c.kept, c.used[0])
		c.used = c.used[1:]
	}
}

// forget drops every answer about a place, whose record has changed.
func (c *cache) forget() {
	c.mu.Lock()
	defer c.mu.Unlock()
	clear(c.kept)
	c.used = nil
}
