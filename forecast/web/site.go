package web

import (
	"bytes"
	"compress/gzip"
	"embed"
	"errors"
	"html/template"
	"net/http"
	"strings"
	"time"

	"bloomtide/forecast/chart"
)

//go:embed page
var pages embed.FS

// site serves the pages.
type site struct {
	Options
	cache     *cache
	templates *template.Template
	css, js   []byte
	atlas     atlas
	desk      desk
	reading   chan struct{} // holds one token while a weather file is read
}

// New returns the handler of all pages. The error is a fault of the embedded
// pages.
func New(o Options) (http.Handler, error) {
	t, err := template.ParseFS(pages, "page/*.html")
	if err != nil {
		return nil, err
	}
	s := &site{Options: o, cache: newCache(o.Forecast), templates: t, reading: make(chan struct{}, 1)}
	s.atlas.load = o.Areas
	if s.css, err = pages.ReadFile("page/page.css"); err != nil {
		return nil, err
	}
	s.css = append(s.css, chart.CSS()...)
	if s.js, err = pages.ReadFile("page/page.js"); err != nil {
		return nil, err
	}
	return guard(s.underBase(s.routes()), o.Hosts), nil
}

func (s *site) routes() *http.ServeMux {
	m := http.NewServeMux()
	m.HandleFunc("GET /{$}", s.plan)
	m.HandleFunc("GET /places", s.places)
	m.HandleFunc("GET /compare", s.compare)
	m.HandleFunc("GET /report", s.report)
	m.HandleFunc("GET /plan.json", s.planFile)
	m.HandleFunc("GET /plan.csv", s.planFile)
	m.HandleFunc("GET /feed/calendar.ics", s.feedOfAll)
	m.HandleFunc("GET /feed/{place}/calendar.ics", s.feed)
	m.HandleFunc("POST /note", s.note)
	m.HandleFunc("POST /undo", s.undo)
	m.HandleFunc("POST /weather", s.weather)
	m.HandleFunc("GET /page.css", func(w http.ResponseWriter, r *http.Request) { send(w, r, "text/css; charset=utf-8", s.css) })
	m.HandleFunc("GET /page.js", func(w http.ResponseWriter, r *http.Request) {
		send(w, r, "text/javascript; charset=utf-8", s.js)
	})
	m.HandleFunc("GET /favicon.ico", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	return m
}

// underBase serves below the secret. Who does not know it learns nothing.
func (s *site) underBase(next http.Handler) http.Handler {
	if s.Base == "" {
		return next
	}
	inner := http.StripPrefix(s.Base, next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case r.URL.Path == s.Base:
			http.Redirect(w, r, s.Base+"/", http.StatusSeeOther)
		case !strings.HasPrefix(r.URL.Path, s.Base+"/"):
			http.NotFound(w, r)
		default:
			inner.ServeHTTP(w, r)
		}
	})
}

// common is what every page shows around its own part.
type common struct {
	Base  string
	Title string
	Here  string // the page's own short name, for the menu
	Query string // the question, for links that keep it
}

// Link returns the address of a page that keeps the question.
func (c common) Link(path string) template.URL {
	if c.Query == "" {
		return template.URL(c.Base + path)
	}
	return template.URL(c.Base + path + "?" + c.Query)
}

// show writes a page, whole or not at all.
func (s *site) show(w http.ResponseWriter, r *http.Request, name string, data any) {
	s.showStatus(w, r, http.StatusOK, name, data)
}

func (s *site) showStatus(w http.ResponseWriter, r *http.Request, status int, name string, data any) {
	var b bytes.Buffer
	if err := s.templates.ExecuteTemplate(&b, name, data); err != nil {
		s.fault(w, err)
		return
	}
	sendStatus(w, r, status, body{htmlType, b.Bytes()})
}

type body struct {
	kind    string
	content []byte
}

func send(w http.ResponseWriter, r *http.Request, kind string, content []byte) {
	sendStatus(w, r, http.StatusOK, body{kind, content})
}

// worthPacking is the size from which an answer is compressed, octets.
const worthPacking = 1 << 10

// sendStatus writes an answer, compressed where the reader takes it.
func sendStatus(w http.ResponseWriter, r *http.Request, status int, b body) {
	w.Header().Set("Content-Type", b.kind)
	w.Header().Set("Vary", "Accept-Encoding")
	content := b.content
	if len(content) >= worthPacking && takesPacked(r) {
		w.Header().Set("Content-Encoding", "gzip")
		content = packed(content)
	}
	w.WriteHeader(status)
	_, _ = w.Write(content) // a reader that went away is no fault
}

func takesPacked(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept-Encoding"), "gzip")
}

// packed compresses for speed: on a local line time counts for more than
// octets.
func packed(content []byte) []byte {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestSpeed) // a level that there is
	_, _ = z.Write(content)                         // into memory: cannot fail
	_ = z.Close()
	return b.Bytes()
}

// problem is the page that says what went wrong and the mend.
type problem struct {
	common
	What  []string
	Bring bool // a weather file would mend it
}

// refuse tells the reader what is wrong with the request.
func (s *site) refuse(w http.ResponseWriter, r *http.Request, err error) {
	status := http.StatusUnprocessableEntity
	var query *badQuery
	var away *NotHere
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &query):
		status = http.StatusBadRequest
	case errors.As(err, &away):
		status = http.StatusNotFound
	case errors.As(err, &large):
		status = http.StatusRequestEntityTooLarge
		err = errTooLarge
	case errors.Is(err, errBusy):
		status = http.StatusServiceUnavailable
	}
	p := problem{common: common{Base: s.Base, Title: "That did not work"}, Bring: away != nil && away.Bring}
	p.What = strings.Split(err.Error(), "\n")
	s.showStatus(w, r, status, "problem.html", p)
}

// fault is a failure of ours: the reader learns that it happened, whoever runs
// the program learns what.
func (s *site) fault(w http.ResponseWriter, err error) {
	if s.Say != nil {
		s.Say(err)
	}
	http.Error(w, "the page failed; the program's window says why", http.StatusInternalServerError)
}

// wholeSecond returns an instant without the parts of a second that HTTP dates
// do not have.
func wholeSecond(t time.Time) time.Time { return t.UTC().Truncate(time.Second) }
