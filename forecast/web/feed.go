package web

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"bloomtide/forecast"
	"bloomtide/forecast/ical"
	"bloomtide/forecast/report"
)

// desk is where calendars are published, one at a time: two at once could
// number one change twice. It remembers what it wrote last under each name.
type desk struct {
	sync.Mutex
	last map[string]edition
}

// edition is a published calendar with all that it was made of.
type edition struct {
	from    []*answer
	done    []report.Done
	content []byte
}

// mostEditions bounds what a desk remembers: a calendar of a place is some
// 40 kB. Our own choice.
const mostEditions = 64

// same reports whether nothing has changed since the calendar that the shelf
// holds was published.
func (d *desk) same(name string, e edition) bool {
	last, ok := d.last[name]
	return ok && slices.Equal(last.from, e.from) && slices.Equal(last.done, e.done) && bytes.Equal(last.content, e.content)
}

func (d *desk) remember(name string, e edition) {
	if d.last == nil || len(d.last) >= mostEditions {
		d.last = map[string]edition{}
	}
	d.last[name] = e
}

// feedLinks are the addresses for a calendar program.
type feedLinks struct {
	Subscribe template.URL // opens the calendar program
	Plain     string       // to copy by hand
	Tasks     template.URL
	All       template.URL
	Download  template.URL
}

// feedLinks returns the calendar's addresses. They leave out the issue date,
// which would stand still in a calendar that is to follow the season.
func (s *site) feedLinks(r *http.Request, q question) feedLinks {
	a := q.chosen
	a.Issue, a.Place = 0, ""
	path := s.Base + "/feed/" + feedName(q) + "/calendar.ics"
	tail, and := "", "?as=tasks"
	if query := a.query(); query != "" {
		tail, and = "?"+query, "&as=tasks"
	}
	return feedLinks{
		Subscribe: template.URL("webcal://" + r.Host + path + tail),
		Plain:     "http://" + r.Host + path + tail,
		Tasks:     template.URL("webcal://" + r.Host + path + tail + and),
		All:       template.URL("webcal://" + r.Host + s.Base + "/feed/calendar.ics"),
		Download:  template.URL(path + tail),
	}
}

// aPoint stands in a feed's path where a point is asked about.
const aPoint = "point"

func feedName(q question) string {
	if q.chosen.Place == "" {
		return aPoint
	}
	return q.chosen.Place
}

// feed publishes the calendar of one place.
func (s *site) feed(w http.ResponseWriter, r *http.Request) {
	values := r.URL.Query()
	tasks := values.Get("as") == "tasks"
	values.Del("as")
	if name := r.PathValue("place"); name != aPoint {
		values.Set("place", name)
	}
	q, err := s.questionOf(values.Encode())
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	key := q.chosen.query()
	s.publish(w, r, calendar{name: "place-" + digest(key), asks: []question{q}, tasks: tasks})
}

// feedOfAll publishes the calendar of all listed places.
func (s *site) feedOfAll(w http.ResponseWriter, r *http.Request) {
	c := calendar{name: "all", tasks: r.URL.Query().Get("as") == "tasks"}
	for _, p := range s.Places() {
		q, err := s.questionOf(Ask{Place: p.ID}.query())
		if err != nil {
			s.refuse(w, r, err)
			return
		}
		c.asks = append(c.asks, q)
	}
	s.publish(w, r, c)
}

// calendar is one published file.
type calendar struct {
	name  string
	asks  []question
	tasks bool
}

// publish writes the calendar against the one published last, keeps it, and
// serves it. An unchanged plan is the same bytes, so that a program which asks
// again is told that nothing is new (RFC 9110 §13, from memory).
func (s *site) publish(w http.ResponseWriter, r *http.Request, c calendar) {
	if c.tasks {
		c.name += "-tasks"
	}
	content, changed, err := s.publication(r.Context(), c)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="bloomtide.ics"`)
	h.Set("Cache-Control", "private, no-cache") // keep it, but ask whether it is still true
	h.Set("ETag", `"`+digest(string(content))+`"`)
	http.ServeContent(w, r, "", wholeSecond(changed), bytes.NewReader(content))
}

// publication returns the calendar as it now is and since when it is so.
func (s *site) publication(ctx context.Context, c calendar) ([]byte, time.Time, error) {
	var all []*answer
	o := report.CalendarOptions{Tasks: c.tasks, Units: c.asks[0].look().Units}
	for _, q := range c.asks {
		a, err := s.cache.answer(ctx, q.full)
		if err != nil {
			return nil, time.Time{}, err
		}
		all = append(all, a)
		notes, err := s.Log.Notes(q.place.ID)
		if err != nil {
			return nil, time.Time{}, err
		}
		for _, n := range notes {
			if n.Kind == NoteDone {
				o.Done = append(o.Done, report.Done{UID: n.Task, Title: n.Title, Day: n.Day})
			}
		}
	}
	s.desk.Lock()
	defer s.desk.Unlock()
	return s.renew(c.name+".ics", all, o)
}

// renew writes the calendar anew and keeps it where it has changed.
func (s *site) renew(name string, from []*answer, o report.CalendarOptions) ([]byte, time.Time, error) {
	old, changed, err := s.Shelf.Read(name)
	if err != nil || s.desk.same(name, edition{from, o.Done, old}) {
		return old, changed, err
	}
	if len(old) > 0 {
		if o.Previous, err = ical.ReadPublished(bytes.NewReader(old)); err != nil {
			return nil, time.Time{}, fmt.Errorf("read the calendar of last time, %s: %w; move it away to start anew", name, err)
		}
	}
	var b bytes.Buffer
	all := make([]forecast.Forecast, len(from))
	for i, a := range from {
		all[i] = a.forecast
	}
	write := func() error { return report.PlanCalendar(&b, all[0], o) }
	if strings.HasPrefix(name, "all") {
		write = func() error { return report.PlansCalendar(&b, all, o) }
	}
	if err := write(); err != nil {
		return nil, time.Time{}, err
	}
	if !bytes.Equal(old, b.Bytes()) {
		if err := s.Shelf.Write(name, b.Bytes()); err != nil {
			return nil, time.Time{}, err
		}
		if _, changed, err = s.Shelf.Read(name); err != nil {
			return nil, time.Time{}, err
		}
	}
	s.desk.remember(name, edition{from, o.Done, b.Bytes()})
	return b.Bytes(), changed, nil
}

// digest names content shortly: 64 bits tell apart what one keeper ever
// publishes.
func digest(s string) string {
	sum := sha256.Sum256([]byte(s))
	const octets = 8
	return hex.EncodeToString(sum[:octets])
}
