package fetch

import (
	"context"
	"crypto/tls"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"time"
)

// Addresses are where the public archives are. Everything that is asked for
// lies on their hosts.
type Addresses struct {
	Stations  string // the station list of GHCN-Daily
	Inventory string // its inventory
	Records   string // the folder of its by-station CSV files
	Outlook   string // the daily forecast of Open-Meteo
}

// Options of a Client; the zero value of a field means the stated default.
type Options struct {
	Addresses Addresses
	UserAgent string // default: the program's name and purpose

	Tries    int           // tries a file without gaining anything; default 5
	Pause    time.Duration // between requests to one host; default 1 s, negative: none
	Stall    time.Duration // without an octet, after which a try ends; default 30 s
	Longest  time.Duration // for one try of one file; default 30 min
	MaxBytes int64         // of one file on the wire; default 256 MiB
	MaxPlain int64         // of one file after decompression; default 512 MiB

	AllowHTTP    bool // also http, for tests
	AllowPrivate bool // also addresses that are not public, for tests

	Seed     uint64         // of the random part of waits
	Progress func(Progress) // told as a download goes on; nil: nobody
}

// Defaults of Options. Our own choices; the longest published file of these,
// the inventory, has about 35 MB (from memory).
const (
	defaultTries    = 5
	defaultPause    = time.Second
	defaultStall    = 30 * time.Second
	defaultLongest  = 30 * time.Minute
	defaultMaxBytes = 256 << 20
	defaultMaxPlain = 512 << 20
	defaultAgent    = "bloomtide (daily temperatures for bee keepers; one connection a host)"
)

func orDefault[T int | int64 | time.Duration](v, d T) T {
	if v == 0 {
		return d
	}
	return v
}

func (o Options) withDefaults() Options {
	o.Tries = orDefault(o.Tries, defaultTries)
	o.Pause = orDefault(o.Pause, defaultPause)
	o.Stall = orDefault(o.Stall, defaultStall)
	o.Longest = orDefault(o.Longest, defaultLongest)
	o.MaxBytes = orDefault(o.MaxBytes, defaultMaxBytes)
	o.MaxPlain = orDefault(o.MaxPlain, defaultMaxPlain)
	if o.UserAgent == "" {
		o.UserAgent = defaultAgent
	}
	if o.Progress == nil {
		o.Progress = func(Progress) {}
	}
	return o
}

// Client fetches files, one at a time. Use it from one goroutine.
type Client struct {
	o     Options
	store Store
	clock Clock
	guard guard
	web   *http.Client
	rand  *rand.Rand
	last  map[string]time.Time // end of the last request to a host
	down  map[string]error     // hosts that did not answer in this run
}

// New returns a client that keeps what it fetches in the store. The error is
// an *AddressError for an address of the options that may not be asked.
func New(o Options, s Store, c Clock) (*Client, error) {
	o = o.withDefaults()
	a := o.Addresses
	g, err := newGuard([]string{a.Stations, a.Inventory, a.Records, a.Outlook}, o.AllowHTTP, o.AllowPrivate)
	if err != nil {
		return nil, err
	}
	const fixed = 0x626c6f6f6d // any number: the seed is the caller's
	return &Client{
		o: o, store: s, clock: c, guard: g, web: newWeb(g),
		rand: rand.New(rand.NewPCG(o.Seed, fixed)), last: map[string]time.Time{}, down: map[string]error{},
	}, nil
}

// newWeb returns an HTTP client that keeps to the guard: one connection a
// host, no proxy, no cookies, no decompression behind our back.
func newWeb(g guard) *http.Client {
	const (
		connect  = 20 * time.Second // a usual limit, no source
		idle     = 30 * time.Second
		maxHeads = 64 << 10 // octets
	)
	dialer := &net.Dialer{Timeout: connect, Control: g.control}
	return &http.Client{
		CheckRedirect: g.redirect,
		Transport: &http.Transport{
			DialContext:            dialer.DialContext,
			TLSHandshakeTimeout:    connect,
			TLSClientConfig:        &tls.Config{MinVersion: tls.VersionTLS12},
			MaxConnsPerHost:        1,
			MaxIdleConnsPerHost:    1,
			IdleConnTimeout:        idle,
			MaxResponseHeaderBytes: maxHeads,
			DisableCompression:     true,
			ForceAttemptHTTP2:      true,
		},
	}
}

// Close gives up idle connections.
func (c *Client) Close() { c.web.CloseIdleConnections() }

// item is one file to fetch.
type item struct {
	address string
	name    string // in the store
	kind    kind
	fresh   time.Duration // within which a stored file is not asked for again
}

// Outcome tells what became of one file.
type Outcome struct {
	Name    string    // in the store
	State   State     // new, changed, unchanged, kept
	Bytes   int64     // that came over the wire in this run
	Resumed int64     // octets of an earlier run that were not fetched again
	Size    int64     // of the file in the store
	Asked   time.Time // when the server last said that this is the file
	LastDay string    // date in the last line of a record, as it stands there
	Err     error     // why a stored file could not be brought up to date; nil where it was
}

// State is what became of a file.
type State string

// What may become of a file.
const (
	Fetched   State = "fetched"   // it was not there before, or another
	Unchanged State = "unchanged" // the server has no other
	Kept      State = "kept"      // not asked for, or asked in vain
)

// get brings one file up to date. Where that fails, a file that is stored
// stays and the error is in the outcome; else it is returned.
func (c *Client) get(ctx context.Context, it item) (Outcome, error) {
	if err := c.settle(it); err != nil {
		return Outcome{}, err
	}
	have, now := c.stored(it), c.clock.Now()
	if have != nil && now.Sub(have.Asked) < it.fresh && !have.Asked.After(now) {
		return have.outcome(it, Kept), nil
	}
	out, err := c.tries(ctx, it, have)
	if err == nil {
		return out, nil
	}
	if ctx.Err() != nil {
		return out, ctx.Err()
	}
	if have == nil {
		return out, err
	}
	kept := have.outcome(it, Kept)
	kept.Err, kept.Bytes = err, out.Bytes
	return kept, nil
}

// tries asks until the file is there, the error will not pass, or a number of
// tries has gained nothing.
func (c *Client) tries(ctx context.Context, it item, have *record) (Outcome, error) {
	u, err := url.Parse(it.address)
	if err != nil {
		return Outcome{}, &AddressError{it.address, "not a web address", "correct it in the settings"}
	}
	if err := c.guard.check(u); err != nil {
		return Outcome{}, err
	}
	host := hostPort(u)
	if err := c.down[host]; err != nil {
		return Outcome{}, err
	}
	sum := Outcome{Name: it.name}
	for n := 1; ; n++ {
		if err := c.polite(ctx, host); err != nil {
			return sum, err
		}
		a := &attempt{c: c, it: it, have: have}
		out, err := a.run(ctx)
		c.last[host] = c.clock.Now()
		sum.Bytes += out.Bytes
		if err == nil {
			out.Bytes = sum.Bytes
			return out, nil
		}
		if out.Bytes >= gain {
			n = 1
		}
		e, ok := asError(err)
		if !ok || !e.again || n >= c.o.Tries || ctx.Err() != nil {
			if ok && e.silent {
				c.down[host] = err
			}
			return sum, err
		}
		wait := max(backOff(n, c.rand), e.After)
		if wait > patience {
			e.Mend = fmt.Sprintf("the server asks to come back in %s", e.After.Round(time.Minute))
			return sum, e
		}
		c.o.Progress(Progress{Name: it.name, Total: -1, Wait: wait})
		if err := c.clock.Sleep(ctx, wait); err != nil {
			return sum, err
		}
	}
}

// polite waits until the host has had its pause.
func (c *Client) polite(ctx context.Context, host string) error {
	last, asked := c.last[host]
	if !asked || c.o.Pause < 0 {
		return ctx.Err()
	}
	if wait := c.o.Pause - c.clock.Now().Sub(last); wait > 0 {
		return c.clock.Sleep(ctx, min(wait, c.o.Pause))
	}
	return ctx.Err()
}
