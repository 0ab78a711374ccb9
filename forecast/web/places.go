package web

import (
	"net/http"
	"slices"
	"strings"
)

// placesPage lets the reader choose a place.
type placesPage struct {
	common
	Places  []Place
	Search  string
	Found   []found
	More    int    // found beyond those listed
	Region  region // with a name where one was chosen
	Regions []region
	Whole   drawingMap
	Drawn   bool
}

// found is a county with the words it is listed under.
type found struct{ ID, Name, Region string }

// regionMap is a region as its map is drawn.
type regionMap struct {
	region
	Base  string
	Named bool // few enough for names on the map
}

// Draw pairs a region with what its map needs to know of the page.
func (p placesPage) Draw(g region) regionMap {
	const few = 6 // names that have room on a phone
	return regionMap{g, p.Base, len(g.Areas) <= few}
}

// mostFound is how many counties a list shows.
const mostFound = 60

// places shows the listed places, the map, and what a search has found.
func (s *site) places(w http.ResponseWriter, r *http.Request) {
	p := placesPage{common: common{Base: s.Base, Title: "Choose a place", Here: "places"}, Places: s.Places(), Search: line(r.URL.Query().Get("search"))}
	if len(p.Search) > mostName {
		p.Search = ""
	}
	m, err := s.atlas.get()
	if err != nil {
		s.fault(w, err)
		return
	}
	p.Regions, p.Whole, p.Drawn = m.regions, m.whole, len(m.regions) > 0
	code := r.URL.Query().Get("in")
	if i := slices.IndexFunc(m.regions, func(g region) bool { return g.Code == code }); i >= 0 {
		p.Region = m.regions[i]
		p.Title = p.Region.Name
	}
	if p.Search != "" {
		p.Found, p.More = m.search(p.Search)
	}
	s.show(w, r, "places.html", p)
}

// search returns the counties whose name, with its region, holds every word.
func (m *drawnAtlas) search(query string) (out []found, more int) {
	words := strings.Fields(strings.ToLower(strings.ReplaceAll(query, ",", " ")))
	for _, g := range m.regions {
		for _, a := range g.Areas {
			name := strings.ToLower(a.Name + " " + g.Name + " " + g.Code)
			if slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(name, w) }) {
				continue
			}
			if len(out) == mostFound {
				more++
				continue
			}
			out = append(out, found{a.ID, a.Name, g.Name})
		}
	}
	return out, more
}
