package county

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// geoObject is any GeoJSON object, as far as outlines need it.
type geoObject struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
	Geometry    *geoObject      `json:"geometry"`
	Geometries  []geoObject     `json:"geometries"`
	Features    []geoObject     `json:"features"`
	Properties  map[string]any  `json:"properties"`
}

// mostNested is how deep collections may lie in collections.
const mostNested = 8

// ReadOutline reads the outline of a place from GeoJSON (RFC 7946): a Polygon,
// a MultiPolygon, a Feature, a FeatureCollection or a GeometryCollection. All
// polygons together are the place; points and lines are passed over.
//
// Of a feature's properties, "name" names the place, and a number in
// "elevation" is the mean height of that feature in m: with one feature for
// each belt of heights the place has elevation weights.
//
// Coordinates are degrees, longitude first. Errors name the place in the file.
func ReadOutline(b []byte) (Outline, error) {
	var g geoObject
	if err := json.Unmarshal(b, &g); err != nil {
		return Outline{}, fmt.Errorf("not GeoJSON: %w; save the outline as GeoJSON with longitude and latitude", err)
	}
	var o Outline
	if err := o.take(g, math.NaN(), mostNested); err != nil {
		return Outline{}, err
	}
	if len(o.Zones) == 0 {
		return Outline{}, fmt.Errorf("no outline in the GeoJSON %q; draw the place as a Polygon", g.Type)
	}
	o.Spot = within(o.Zones[0].Shape)
	return o, nil
}

// take adds the polygons of an object.
func (o *Outline) take(g geoObject, elevM float64, deep int) error {
	if deep == 0 {
		return errors.New("collections lie too deep in each other; save the outline as one Feature")
	}
	switch g.Type {
	case "Polygon", "MultiPolygon":
		return o.polygons(g, elevM)
	case "Feature":
		if g.Geometry == nil {
			return nil
		}
		return o.feature(g, deep)
	case "FeatureCollection":
		return o.takeAll(g.Features, elevM, deep)
	case "GeometryCollection":
		return o.takeAll(g.Geometries, elevM, deep)
	case "Point", "MultiPoint", "LineString", "MultiLineString":
		return nil
	default:
		return fmt.Errorf("unknown GeoJSON type %q; draw the place as a Polygon", g.Type)
	}
}

func (o *Outline) takeAll(all []geoObject, elevM float64, deep int) error {
	for i, g := range all {
		if err := o.take(g, elevM, deep-1); err != nil {
			return fmt.Errorf("part %d: %w", i+1, err)
		}
	}
	return nil
}

func (o *Outline) feature(g geoObject, deep int) error {
	elevM := math.NaN()
	if v, ok := g.Properties["elevation"].(float64); ok {
		const lowest, highest = -450, 8900 // m: the shore of the Dead Sea, the top of Everest, rounded outward (from memory)
		if v < lowest || v > highest {
			return fmt.Errorf("elevation %g m is outside %d..%d; give metres above sea level", v, lowest, highest)
		}
		elevM = v
	}
	if name, ok := g.Properties["name"].(string); ok && o.Name == "" {
		o.Name = name
	}
	return o.take(*g.Geometry, elevM, deep-1)
}

// polygons adds a Polygon or MultiPolygon.
func (o *Outline) polygons(g geoObject, elevM float64) error {
	var all [][][][]float64
	if g.Type == "Polygon" {
		all = make([][][][]float64, 1)
		if err := json.Unmarshal(g.Coordinates, &all[0]); err != nil {
			return fmt.Errorf("coordinates of a Polygon: %w", err)
		}
	} else if err := json.Unmarshal(g.Coordinates, &all); err != nil {
		return fmt.Errorf("coordinates of a MultiPolygon: %w", err)
	}
	var m orb.MultiPolygon
	for i, rings := range all {
		var poly orb.Polygon
		for j, positions := range rings {
			r, err := readRing(positions)
			if err != nil {
				return fmt.Errorf("polygon %d, ring %d: %w", i+1, j+1, err)
			}
			if r = tidy(r); r != nil {
				poly = append(poly, r)
			} else if j == 0 {
				return fmt.Errorf("polygon %d: its outline holds no area; it needs three corners at least", i+1)
			}
		}
		if len(poly) > 0 {
			m = append(m, poly)
		}
	}
	if len(m) > 0 {
		o.Zones = append(o.Zones, Zone{Shape: m, ElevM: elevM})
	}
	return nil
}

// readRing checks positions and makes a ring of them.
func readRing(positions [][]float64) (orb.Ring, error) {
	r := make(orb.Ring, 0, len(positions)+1)
	for i, p := range positions {
		if len(p) < 2 {
			return nil, fmt.Errorf("position %d has %d numbers, not longitude and latitude", i+1, len(p))
		}
		if !(math.Abs(p[1]) <= 90) || !(math.Abs(p[0]) <= 360) {
			return nil, fmt.Errorf("position %d (%g, %g) is not longitude and latitude in degrees; "+
				"longitude stands first, and projected coordinates must be turned into WGS 84", i+1, p[0], p[1])
		}
		r = append(r, orb.Point{p[0], p[1]})
	}
	if runsRoundThePole(r) {
		return nil, errors.New("it runs round a pole, which a flat outline cannot; cut it at a meridian")
	}
	return r, nil
}

// runsRoundThePole reports whether a ring's longitudes make a whole turn.
func runsRoundThePole(r orb.Ring) bool {
	if len(r) == 0 {
		return false
	}
	lon := r[0][0]
	for _, p := range r[1:] {
		lon = near(p[0], lon)
	}
	return math.Abs(near(r[0][0], lon)-r[0][0]) > 180
}
