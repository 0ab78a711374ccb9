package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/forecast/report"
	"bloomtide/forecast/web"
	"bloomtide/ingest/county"

	"github.com/paulmach/orb"
)

// house is what the page is served from: the user's settings, the places with
// their records, and the data folder.
type house struct {
	world
	settings config.Settings
	data     string
	plants   []config.Plant
	boxes    []string

	mu     sync.Mutex
	listed []web.Place
	read   map[string]job // records read, by place
	recent []string       // places looked up, the latest last
}

// private keeps the data folder to its owner: it holds a secret and a record.
const private = 0o700

func (w world) openHouse(s config.Settings, data string) (*house, error) {
	for _, dir := range []string{data, filepath.Join(data, "weather"), filepath.Join(data, "calendar")} {
		if err := os.MkdirAll(dir, private); err != nil {
			return nil, fmt.Errorf("open the data folder: %w", err)
		}
	}
	h := &house{world: w, settings: s, data: data, read: map[string]job{}}
	err := h.sweep()
	if err != nil {
		return nil, err
	}
	if h.plants, err = plants(s); err != nil {
		return nil, err
	}
	boxes, err := config.Boxes()
	if err != nil {
		return nil, err
	}
	for _, b := range boxes {
		h.boxes = append(h.boxes, b.Name)
	}
	jobs, err := w.jobs(h.quiet())
	if err != nil {
		return nil, err
	}
	for _, j := range jobs {
		h.list(report.Slug(j.series.Site.Name), j)
	}
	return h, h.openUploads()
}

// sweep removes what a kill left half written. What is younger than an hour may
// belong to a program that still runs.
func (h *house) sweep() error {
	for _, pattern := range []string{".upload-*", "." + bloomFile + ".*", "." + hiveFile + ".*", "weather/.*", "calendar/.*"} {
		left, err := filepath.Glob(filepath.Join(h.data, filepath.FromSlash(pattern)))
		if err != nil {
			return fmt.Errorf("clear the data folder: %w", err)
		}
		for _, name := range left {
			info, err := os.Lstat(name)
			if err != nil || h.now().Sub(info.ModTime()) < time.Hour {
				continue
			}
			if err := os.RemoveAll(name); err != nil {
				return fmt.Errorf("clear the data folder: %w", err)
			}
		}
	}
	return nil
}

// quiet are the settings with which both counties of the demo are read.
func (h *house) quiet() config.Settings {
	s := h.settings
	s.Format = "table"
	return s
}

// list adds a place with its record.
func (h *house) list(id string, j job) web.Place {
	h.mu.Lock()
	defer h.mu.Unlock()
	p := described(id, j)
	p.Own = true
	for i, old := range h.listed {
		if old.ID == id {
			h.listed[i] = p
			h.read[id] = j
			return p
		}
	}
	h.listed, h.read[id] = append(h.listed, p), j
	return p
}

// described tells the page of a record with its settings.
func described(id string, j job) web.Place {
	s := j.settings
	p := web.Place{ID: id, Name: j.series.Site.Name, Invented: j.invented, Ask: web.Ask{
		Issue: s.Issue, BroodBox: s.Hive.BroodBox, BroodBoxes: s.Hive.BroodBoxes, Super: s.Hive.Super,
		Colonies: s.Hive.ColoniesInReach, US: s.Units == "us",
	}}
	if j.invented && p.Ask.Issue == 0 {
		p.Ask.Issue = world{}.issue(j)
	}
	for _, st := range s.Stands {
		p.Ask.Stands = append(p.Ask.Stands, web.Stand{Plant: st.Plant, Hectares: st.Hectares})
	}
	for _, name := range s.Unmeasured {
		p.Ask.Stands = append(p.Ask.Stands, web.Stand{Plant: name})
	}
	return p
}

// places are those that are listed by themselves.
func (h *house) places() []web.Place {
	h.mu.Lock()
	defer h.mu.Unlock()
	return append([]web.Place(nil), h.listed...)
}

// find describes a listed place, a county or a point.
func (h *house) find(id string, at *web.Point) (web.Place, error) {
	for _, p := range h.places() {
		if at == nil && p.ID == id {
			return p, nil
		}
	}
	key, j, err := h.job(id, at)
	if err != nil {
		return web.Place{}, err
	}
	return described(key, j), nil
}

// mostRecent is how many places beyond the listed ones keep their record in
// memory: 30 years are some 0.7 MB.
const mostRecent = 16

// job returns the record for a listed place, a county or a point, read once.
func (h *house) job(id string, at *web.Point) (string, job, error) {
	s := h.settings
	s.Weather = append(append([]string(nil), s.Weather...), h.uploads()...)
	s.Outline = ""
	switch {
	case at != nil:
		id = report.Slug(fmt.Sprintf("point %s %.4f %s %.4f", hemisphere(at.Lat, "n", "s"), math.Abs(at.Lat), hemisphere(at.Lon, "e", "w"), math.Abs(at.Lon)))
		s.Lat, s.Lon, s.County, s.ElevationM = at.Lat, at.Lon, "", math.NaN()
		s.Place = fmt.Sprintf("%.3f°, %.3f°", at.Lat, at.Lon)
	default:
		s.County, s.Lat, s.Lon, s.Place, s.ElevationM = id, math.NaN(), math.NaN(), "", math.NaN()
	}
	h.mu.Lock()
	j, known := h.read[id]
	h.mu.Unlock()
	if known {
		return id, j, nil
	}
	j, err := h.readNear(s)
	if err != nil {
		return id, job{}, err
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.read[id] = j
	h.recent = append(h.recent, id)
	if len(h.recent) > mostRecent {
		delete(h.read, h.recent[0])
		h.recent = h.recent[1:]
	}
	return id, j, nil
}

func hemisphere(x float64, positive, negative string) string {
	if x < 0 {
		return negative
	}
	return positive
}

// readNear reads the record nearest to a county or a point.
func (h *house) readNear(s config.Settings) (job, error) {
	located, _, err := inCounty(s)
	var away *county.NotFoundError
	if errors.As(err, &away) {
		return job{}, &web.NotHere{What: "there is no place called " + s.County, Mend: "choose one of the list"}
	}
	if err != nil {
		return job{}, err
	}
	if dir, ok := h.ownArchive(located); ok {
		s.Archive = dir // what fetch and ingest have brought
	}
	if len(s.Weather) == 0 && s.Archive == "" {
		return job{}, &web.NotHere{
			What: "no daily temperatures near " + located.Place + " are at hand",
			Mend: "bring a weather file on the page Places, or download the records of stations near it with bloomtide fetch --county or --lat and --lon", Bring: true,
		}
	}
	return h.ownPlace(s)
}

// forecast answers a question of the page.
func (h *house) forecast(a web.Ask) (forecast.Forecast, error) {
	_, j, err := h.job(a.Place, a.Point)
	if err != nil {
		return forecast.Forecast{}, err
	}
	s := &j.settings
	s.Issue, s.IssueGiven = a.Issue, a.Issue != 0 // the page has no date before 1971 to choose
	s.Hive.BroodBox, s.Hive.BroodBoxes, s.Hive.Super, s.Hive.ColoniesInReach = a.BroodBox, a.BroodBoxes, a.Super, a.Colonies
	s.Stands = nil
	for _, st := range a.Stands {
		if st.Hectares == 0 {
			continue // it is among those that the settings have as Unmeasured
		}
		s.Stands = append(s.Stands, config.StandSetting{Plant: st.Plant, Hectares: st.Hectares})
	}
	return h.world.forecast(j)
}

// options hands the house over to the page.
func (h *house) options(base string, hosts []string) web.Options {
	o := web.Options{
		Places: h.places, Find: h.find, Forecast: h.forecast, Today: h.today,
		Plants: config.PlantNames(h.plants), Boxes: h.boxes,
		Log: &keeperLog{folder: h.data}, Shelf: shelf{filepath.Join(h.data, "calendar")},
		Accept: h.accept, Areas: h.areas, Base: base, Hosts: hosts,
		Say: func(err error) { say{h.stderr}.failure(err) },
	}
	return o
}

// areas are the counties of the map, after those of the demo where it is shown.
func (h *house) areas() ([]web.Area, error) {
	var out []web.Area
	for _, p := range h.places() {
		if ring, ok := demoOutlines()[p.ID]; ok {
			out = append(out, web.Area{ID: p.ID, Name: p.Name, Region: "demo", RegionName: "Invented counties of the demo", Rings: [][][2]float64{ring}})
		}
	}
	atlas, err := county.Load()
	if err != nil {
		return nil, err
	}
	for _, c := range atlas.Counties() {
		a := web.Area{ID: c.FIPS, Name: c.Name, Region: c.State, RegionName: c.StateIn}
		for _, z := range c.Outline.Zones {
			for _, poly := range z.Shape {
				for _, ring := range poly {
					a.Rings = append(a.Rings, points(ring))
				}
			}
		}
		out = append(out, a)
	}
	return out, nil
}

func points(ring orb.Ring) [][2]float64 {
	out := make([][2]float64, len(ring))
	for i, p := range ring {
		out[i] = p
	}
	return out
}

// demoOutlines are the invented counties as they lie beside each other on an
// invented map. They stand nowhere on earth.
func demoOutlines() map[string][][2]float64 {
	return map[string][][2]float64{
		"quillmarsh-county": {{0, 0}, {.3, .12}, {.5, .05}, {.8, .1}, {.78, .35}, {.85, .55}, {.74, .8}, {.45, .84}, {.3, .74}, {.12, .78}, {-.08, .6}, {-.02, .4}, {-.14, .22}},
		"sarnholt-county":   {{.8, .1}, {1.1, -.02}, {1.45, .06}, {1.62, .3}, {1.55, .6}, {1.66, .82}, {1.3, .93}, {1.02, .86}, {.74, .8}, {.85, .55}, {.78, .35}},
	}
}

// base returns what leads every address: nothing on this machine alone, else a
// secret that stays the same from one start to the next.
func (h *house) base(a net.Addr) (string, error) {
	if tcp, ok := a.(*net.TCPAddr); ok && tcp.IP.IsLoopback() {
		return "", nil
	}
	name := filepath.Join(h.data, "secret-address")
	b, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		b = []byte(strings.ToLower(rand.Text()))
		err = os.WriteFile(name, b, 0o600)
	}
	if err != nil {
		return "", fmt.Errorf("keep the secret address: %w", err)
	}
	secret := strings.TrimSpace(string(b))
	const shortest = 20 // letters of 5 bits: not to be guessed
	if len(secret) < shortest || report.Slug(secret) != secret {
		return "", fmt.Errorf("%s does not hold a secret of %d letters; remove it to get a new one", name, shortest)
	}
	return "/" + secret, nil
}
