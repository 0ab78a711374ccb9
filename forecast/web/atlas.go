package web

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
)

// atlas draws the map when it is first asked for, and keeps it.
type atlas struct {
	load func() ([]Area, error)
	once sync.Once
	kept *drawnAtlas
	err  error
}

// drawnAtlas is the map of all regions and of each.
type drawnAtlas struct {
	regions []region
	whole   drawingMap
}

// region is a part of the map with its counties.
type region struct {
	Code, Name string
	Areas      []shape
	Box        string // viewBox of its own map
}

// shape is an outline ready to be drawn.
type shape struct {
	ID, Name, Path string
	X, Y           int // middle, for the name
}

// drawingMap is the overview: one shape for each region.
type drawingMap struct {
	Box     string
	Regions []shape
}

func (a *atlas) get() (*drawnAtlas, error) {
	a.once.Do(func() {
		a.kept = &drawnAtlas{}
		if a.load == nil {
			return
		}
		areas, err := a.load()
		if err != nil {
			a.err = err
			return
		}
		a.kept = drawAtlas(areas)
	})
	return a.kept, a.err
}

// mapWidth is the width of every map in its own units; a unit is about a pixel
// on a desk.
const mapWidth = 960

func drawAtlas(areas []Area) *drawnAtlas {
	byCode := map[string][]Area{}
	var codes []string
	for _, a := range areas {
		if byCode[a.Region] == nil {
			codes = append(codes, a.Region)
		}
		byCode[a.Region] = append(byCode[a.Region], a)
	}
	slices.SortFunc(codes, func(a, b string) int { return strings.Compare(byCode[a][0].RegionName, byCode[b][0].RegionName) })
	m := &drawnAtlas{}
	for _, c := range codes {
		m.regions = append(m.regions, drawRegion(c, byCode[c]))
	}
	m.whole = drawWhole(codes, byCode)
	return m
}

// drawRegion draws one region as seen from above its middle: longitudes are
// shortened by the cosine of the middle latitude.
func drawRegion(code string, areas []Area) region {
	lon0, lat0 := middle(areas)
	cos := math.Cos(lat0 * math.Pi / 180)
	f := func(p [2]float64) xy { return xy{turned(p[0]-lon0) * cos, -p[1]} }
	box, scale := frame(areas, f)
	g := region{Code: code, Name: areas[0].RegionName, Box: box.viewBox(scale)}
	for _, a := range areas {
		one := shape{ID: a.ID, Name: a.Name, Path: outline(a.Rings, pen{f, box, scale, 0.8})}
		at, _ := frame([]Area{a}, f)
		one.X = int(((at.x0+at.x1)/2 - box.x0) * scale)
		one.Y = int(((at.y0+at.y1)/2 - box.y0) * scale)
		g.Areas = append(g.Areas, one)
	}
	slices.SortFunc(g.Areas, func(a, b shape) int { return strings.Compare(a.Name, b.Name) })
	return g
}

// drawWhole draws what lies on the mainland on one map, by Albers' equal-area
// conic projection with the parallels customary for it, 29.5° and 45.5° (Snyder
// 1987, USGS Professional Paper 1395, p. 98, from memory). Regions beyond it
// are chosen from the list.
func drawWhole(codes []string, byCode map[string][]Area) drawingMap {
	f := albers(29.5, 45.5, 37.5, -96)
	var on []string
	var all []Area
	for _, c := range codes {
		if lon, lat := middle(byCode[c]); lat > 24 && lat < 50 && lon > -126 && lon < -66 {
			on = append(on, c)
			all = append(all, byCode[c]...)
		}
	}
	if len(on) < 2 {
		return drawingMap{}
	}
	box, scale := frame(all, f)
	m := drawingMap{Box: box.viewBox(scale)}
	for _, c := range on {
		var b strings.Builder
		for _, a := range byCode[c] {
			b.WriteString(outline(a.Rings, pen{f, box, scale, 2.2}))
		}
		m.Regions = append(m.Regions, shape{ID: c, Name: byCode[c][0].RegionName, Path: b.String()})
	}
	return m
}

type xy struct{ x, y float64 }

type projection func([2]float64) xy

// albers returns the projection, in radii of the earth, y downward.
func albers(south, north, lat0, lon0 float64) projection {
	rad := func(d float64) float64 { return d * math.Pi / 180 }
	n := (math.Sin(rad(south)) + math.Sin(rad(north))) / 2
	c := math.Pow(math.Cos(rad(south)), 2) + 2*n*math.Sin(rad(south))
	rho := func(lat float64) float64 { return math.Sqrt(c-2*n*math.Sin(rad(lat))) / n }
	return func(p [2]float64) xy {
		theta := n * rad(p[0]-lon0)
		return xy{rho(p[1]) * math.Sin(theta), rho(p[1])*math.Cos(theta) - rho(lat0)}
	}
}

// turned brings a difference of longitudes into one turn.
func turned(d float64) float64 { return math.Mod(d+540, 360) - 180 }

// middle returns the middle of the bounds of areas, degrees. Longitudes count
// from the first point, so that islands beyond the 180th meridian stay near.
func middle(areas []Area) (lon, lat float64) {
	first, started := 0.0, false
	west, east, south, north := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, a := range areas {
		for _, ring := range a.Rings {
			for _, p := range ring {
				if !started {
					first, started = p[0], true
				}
				d := turned(p[0] - first)
				west, east = min(west, d), max(east, d)
				south, north = min(south, p[1]), max(north, p[1])
			}
		}
	}
	if !started {
		return 0, 0
	}
	return turned(first + (west+east)/2), (south + north) / 2
}

// rect bounds a drawing.
type rect struct{ x0, y0, x1, y1 float64 }

// frame returns the bounds of areas and the scale that fills the map.
func frame(areas []Area, f projection) (rect, float64) {
	r := rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, a := range areas {
		for _, ring := range a.Rings {
			for _, p := range ring {
				q := f(p)
				r = rect{min(r.x0, q.x), min(r.y0, q.y), max(r.x1, q.x), max(r.y1, q.y)}
			}
		}
	}
	span := max(r.x1-r.x0, r.y1-r.y0)
	if !(span > 0) {
		return rect{}, 1
	}
	return r, mapWidth / span
}

// viewBox writes the bounds with a margin.
func (r rect) viewBox(scale float64) string {
	const margin = 4
	return fmt.Sprintf("%d %d %.0f %.0f", -margin, -margin, (r.x1-r.x0)*scale+2*margin, (r.y1-r.y0)*scale+2*margin)
}

// pen draws outlines: what is closer than least units to the last point is
// left out.
type pen struct {
	f     projection
	box   rect
	scale float64
	least float64
}

// outline returns the data of a path through rings, whole units and relative
// moves. Rings of fewer than three points hold no area.
func outline(rings [][][2]float64, p pen) string {
	var b strings.Builder
	for _, ring := range rings {
		pts := p.points(ring)
		if len(pts) < 3 {
			continue
		}
		at := pts[0]
		fmt.Fprintf(&b, "M%d %dl", at[0], at[1])
		for i, q := range pts[1:] {
			if i > 0 && q[0] >= at[0] {
				b.WriteByte(' ')
			}
			dx, dy := q[0]-at[0], q[1]-at[1]
			fmt.Fprintf(&b, "%d", dx)
			if dy >= 0 {
				b.WriteByte(' ')
			}
			fmt.Fprintf(&b, "%d", dy)
			at = q
		}
		b.WriteByte('z')
	}
	return b.String()
}

// points thins a ring out to whole units.
func (p pen) points(ring [][2]float64) [][2]int {
	var out [][2]int
	last := xy{math.Inf(1), 0}
	for _, lonlat := range ring {
		q := p.f(lonlat)
		q = xy{(q.x - p.box.x0) * p.scale, (q.y - p.box.y0) * p.scale}
		if math.Hypot(q.x-last.x, q.y-last.y) < p.least {
			continue
		}
		last = q
		out = append(out, [2]int{int(math.Round(q.x)), int(math.Round(q.y))})
	}
	return out
}
