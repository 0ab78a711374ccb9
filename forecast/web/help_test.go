package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/ingest"
	"bloomtide/ingest/demo"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// demoForecast is the forecast of an invented county, computed once.
var demoForecast = sync.OnceValues(func() (forecast.Forecast, error) {
	name, content, err := demo.File(demo.Sarnholt)
	if err != nil {
		return forecast.Forecast{}, err
	}
	records, err := ingest.Collect([]ingest.Source{{Name: name, Reader: bytes.NewReader(content)}}, ingest.Options{})
	if err != nil {
		return forecast.Forecast{}, err
	}
	plants, err := config.Plants()
	if err != nil {
		return forecast.Forecast{}, err
	}
	set, err := config.Load(config.Options{File: "t.yaml", Content: []byte("place: Sarnholt\nstands:\n  - plant: black locust\n    hectares: 60\n")})
	if err != nil {
		return forecast.Forecast{}, err
	}
	a, err := set.Apiary(plants)
	if err != nil {
		return forecast.Forecast{}, err
	}
	s := records[0].Series
	s.Site.Point = [2]float64{21.4, 48.2}
	return forecast.Run(a, s, demo.Issue)
})

// memory is a log and a shelf without a disk.
type memory struct {
	mu      sync.Mutex
	notes   []Note
	files   map[string][]byte
	written map[string]time.Time
	writes  int
}

func (m *memory) Notes(string) ([]Note, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.notes), nil
}

func (m *memory) Add(_ string, n Note) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	n.ID = "n"
	m.notes = append(m.notes, n)
	return nil
}

func (m *memory) Remove(_, id string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, n := range m.notes {
		if n.ID == id {
			m.notes = slices.Delete(m.notes, i, i+1)
			return nil
		}
	}
	return errors.New("no such line")
}

func (m *memory) Read(name string) ([]byte, time.Time, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.files[name], m.written[name], nil
}

func (m *memory) Write(name string, content []byte) error {
	if !filepath.IsLocal(name) || filepath.Base(name) != name {
		return errors.New("a calendar was to be kept as " + name)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.writes++
	m.files[name] = content
	m.written[name] = time.Date(2025, 4, 10, 12, 0, m.writes, 0, time.UTC)
	return nil
}

// rig is a page over a forecast that a test may change.
type rig struct {
	*memory
	http.Handler
	forecast forecast.Forecast
	asked    []Ask
}

// newRig builds a page; change may be nil.
func newRig(t testing.TB, change func(*Options)) *rig {
	t.Helper()
	f, err := demoForecast()
	require.NoError(t, err)
	r := &rig{memory: &memory{files: map[string][]byte{}, written: map[string]time.Time{}}, forecast: f}
	place := Place{ID: "sarnholt", Name: f.Apiary.Name, Own: true, Ask: Ask{Issue: demo.Issue, BroodBoxes: 2, BroodBox: "deep", Super: "medium", Colonies: 40}}
	o := Options{
		Places: func() []Place { return []Place{place} },
		Find: func(id string, at *Point) (Place, error) {
			if id != place.ID && at == nil {
				return Place{}, &NotHere{What: "no such place", Mend: "choose another"}
			}
			return place, nil
		},
		Forecast: func(a Ask) (forecast.Forecast, error) {
			r.mu.Lock()
			defer r.mu.Unlock()
			r.asked = append(r.asked, a)
			return r.forecast, nil
		},
		Today:  func() weather.Date { return demo.Issue },
		Plants: []string{"black locust", "basswood"}, Boxes: []string{"deep", "medium"},
		Log: r.memory, Shelf: r.memory,
		Accept: func(u Upload) (Place, []string, error) {
			_, err := io.Copy(io.Discard, u.Content)
			return place, nil, err
		},
		Areas: func() ([]Area, error) {
			square := [][2]float64{{0, 40}, {1, 40}, {1, 41}, {0, 41}}
			return []Area{{ID: "sarnholt", Name: "Sarn<b>holt", Region: "x", RegionName: "Xland", Rings: [][][2]float64{square, {{5, 5}}}}}, nil
		},
	}
	if change != nil {
		change(&o)
	}
	r.Handler, err = New(o)
	require.NoError(t, err)
	return r
}

const ownHost = "127.0.0.1:8747"

// get asks for a page as a browser on this machine does.
func (r *rig) get(target string, header ...string) *httptest.ResponseRecorder {
	req := httptest.NewRequest(http.MethodGet, target, nil)
	return r.do(req, header)
}

func (r *rig) post(target string, form url.Values, header ...string) *httptest.ResponseRecorder {
	req := httptest.NewRequest(http.MethodPost, target, strings.NewReader(form.Encode()))
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r.do(req, header)
}

// do sends a request with further headers, name and value in turn.
func (r *rig) do(req *http.Request, header []string) *httptest.ResponseRecorder {
	req.Host = ownHost
	for i := 0; i+1 < len(header); i += 2 {
		if header[i] == "Host" {
			req.Host = header[i+1]
			continue
		}
		req.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	r.ServeHTTP(w, req)
	return w
}
