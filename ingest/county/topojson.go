package county

import (
	"encoding/json"
	"errors"
	"fmt"

	"github.com/paulmach/orb"
)

// feature is one object of a topology.
type feature struct {
	id, name string
	shape    orb.MultiPolygon // rings without area are left out
	spot     orb.Point        // a point of it, whether it has area or not
}

// topology is the part of a TopoJSON file that is used.
type topology struct {
	Type      string                 `json:"type"`
	Transform *transform             `json:"transform"`
	Objects   map[string]*collection `json:"objects"`
	Arcs      [][][]float64          `json:"arcs"`
	stitched  int                    // points handed out so far
}

type transform struct {
	Scale     [2]float64 `json:"scale"`
	Translate [2]float64 `json:"translate"`
}

type collection struct {
	Geometries []topoGeometry `json:"geometries"`
}

type topoGeometry struct {
	Type       string          `json:"type"`
	ID         json.RawMessage `json:"id"`
	Arcs       json.RawMessage `json:"arcs"`
	Properties struct {
		Name string `json:"name"`
	} `json:"properties"`
}

// mostPoints bounds what a file may unfold to: rings share arcs, so a small
// file could ask for any amount of memory. The embedded one has 68,279 points
// in its counties.
const mostPoints = 4_000_000

// readTopology reads a TopoJSON file and places its arcs.
func readTopology(b []byte) (*topology, error) {
	var t topology
	if err := json.Unmarshal(b, &t); err != nil {
		return nil, fmt.Errorf("read TopoJSON: %w", err)
	}
	if t.Type != "Topology" {
		return nil, fmt.Errorf("read TopoJSON: type is %q, not Topology", t.Type)
	}
	for i, arc := range t.Arcs {
		var x, y float64
		for j, p := range arc {
			if len(p) < 2 {
				return nil, fmt.Errorf("read TopoJSON: position %d of arc %d has %d numbers", j, i, len(p))
			}
			if t.Transform == nil {
				continue
			}
			x, y = x+p[0], y+p[1] // each is a step from the one before
			p[0] = x*t.Transform.Scale[0] + t.Transform.Translate[0]
			p[1] = y*t.Transform.Scale[1] + t.Transform.Translate[1]
		}
	}
	return &t, nil
}

// features returns the polygons of one object.
func (t *topology) features(object string) ([]feature, error) {
	c := t.Objects[object]
	if c == nil {
		return nil, fmt.Errorf("read TopoJSON: no object %q", object)
	}
	out := make([]feature, 0, len(c.Geometries))
	for _, g := range c.Geometries {
		f, err := t.feature(g)
		if err != nil {
			return nil, fmt.Errorf("read TopoJSON: %s %s: %w", object, string(g.ID), err)
		}
		out = append(out, f)
	}
	return out, nil
}

func (t *topology) feature(g topoGeometry) (feature, error) {
	f := feature{name: g.Properties.Name}
	if err := json.Unmarshal(g.ID, &f.id); err != nil {
		f.id = string(g.ID) // a number
	}
	var polygons [][][]int
	switch g.Type {
	case "Polygon":
		polygons = make([][][]int, 1)
		if err := json.Unmarshal(g.Arcs, &polygons[0]); err != nil {
			return f, err
		}
	case "MultiPolygon":
		if err := json.Unmarshal(g.Arcs, &polygons); err != nil {
			return f, err
		}
	default:
		return f, fmt.Errorf("is a %q, not a Polygon or MultiPolygon", g.Type)
	}
	spots := 0
	for _, rings := range polygons {
		var p orb.Polygon
		for i, arcs := range rings {
			r, err := t.ring(arcs)
			if err != nil {
				return f, err
			}
			if spots == 0 && len(r) > 0 {
				f.spot, spots = middle(r), 1
			}
			if r = tidy(r); r != nil {
				p = append(p, r)
			} else if i == 0 {
				break // no outline, so no holes
			}
		}
		if len(p) > 0 {
			f.shape = append(f.shape, p)
		}
	}
	return f, nil
}

// ring stitches arcs together. A negative number ~i is arc i walked backwards;
// neighbouring arcs share a point.
func (t *topology) ring(arcs []int) (orb.Ring, error) {
	var r orb.Ring
	for _, i := range arcs {
		back := i < 0
		if back {
			i = ^i
		}
		if i >= len(t.Arcs) {
			return nil, fmt.Errorf("no arc %d; the file has %d", i, len(t.Arcs))
		}
		arc := t.Arcs[i]
		if t.stitched += len(arc); t.stitched > mostPoints {
			return nil, errors.New("its rings unfold to more than 4 million points")
		}
		for j := range arc {
			p := arc[j]
			if back {
				p = arc[len(arc)-1-j]
			}
			if j == 0 && len(r) > 0 {
				continue
			}
			r = append(r, orb.Point{p[0], p[1]})
		}
	}
	return r, nil
}
