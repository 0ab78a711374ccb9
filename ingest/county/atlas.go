package county

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

//go:embed counties-10m.json.gz
var embedded []byte

// County is a county or its like: parish, borough, independent city.
type County struct {
	FIPS    string // five digits, the first two of the state
	Name    string // without the word county
	State   string // postal code
	StateIn string // name of the state in full
	Note    string // why this one answers for the name asked for; mostly empty
	Outline Outline
}

// String returns the county as one would write it: Linn, Iowa.
func (c County) String() string { return c.Name + ", " + c.StateIn }

// City reports whether it is an independent city, a county of its own. Their
// codes start at 510 (FIPS 6-4, from memory).
func (c County) City() bool { return len(c.FIPS) == 5 && c.FIPS[2:] >= "510" }

// Atlas holds all counties.
type Atlas struct {
	counties []County // by FIPS
	byFIPS   map[string]int
	byKey    map[string][]int // by folded name
	states   map[string]state // by folded name and by postal code
	grid     map[cell][]int
}

// cell is a square of one degree: its south-western corner.
type cell struct{ lon, lat int16 }

// Load unpacks the embedded outlines. It takes some 30 ms; call it once.
func Load() (*Atlas, error) {
	z, err := gzip.NewReader(bytes.NewReader(embedded))
	if err != nil {
		return nil, fmt.Errorf("unpack the outlines of counties: %w", err)
	}
	b, err := io.ReadAll(z)
	if err != nil {
		return nil, fmt.Errorf("unpack the outlines of counties: %w", err)
	}
	t, err := readTopology(b)
	if err != nil {
		return nil, err
	}
	all, err := t.features("counties")
	if err != nil {
		return nil, err
	}
	return newAtlas(all)
}

func newAtlas(all []feature) (*Atlas, error) {
	a := &Atlas{byFIPS: map[string]int{}, byKey: map[string][]int{}, states: map[string]state{}, grid: map[cell][]int{}}
	byCode := map[string]state{}
	for _, s := range states() {
		byCode[s.fips] = s
		a.states[key(s.name)], a.states[key(s.postal)] = s, s
	}
	for _, f := range all {
		s, ok := byCode[f.id[:min(2, len(f.id))]]
		if !ok || len(f.id) != 5 {
			return nil, fmt.Errorf("outlines of counties: no state for %q", f.id)
		}
		o := Outline{Name: f.name + ", " + s.name, Spot: f.spot}
		if len(f.shape) > 0 {
			o.Zones = []Zone{{Shape: f.shape, ElevM: math.NaN()}}
			o.Spot = within(f.shape)
		}
		a.counties = append(a.counties, County{FIPS: f.id, Name: f.name, State: s.postal, StateIn: s.name, Outline: o})
	}
	slices.SortFunc(a.counties, func(x, y County) int { return strings.Compare(x.FIPS, y.FIPS) })
	for i, c := range a.counties {
		a.byFIPS[c.FIPS] = i
		k := key(c.Name)
		a.byKey[k] = append(a.byKey[k], i)
		a.enter(i)
	}
	return a, nil
}

// enter notes a county in every cell that the bounds of its polygons touch.
func (a *Atlas) enter(i int) {
	put := func(m orb.MultiPolygon) {
		west, south, east, north := bounds(m)
		for x := math.Floor(west); x <= east; x++ {
			for y := math.Floor(south); y <= north; y++ {
				c := cellOf(orb.Point{x, y})
				if n := len(a.grid[c]); n == 0 || a.grid[c][n-1] != i {
					a.grid[c] = append(a.grid[c], i)
				}
			}
		}
	}
	o := a.counties[i].Outline
	if len(o.Zones) == 0 {
		c := cellOf(o.Spot)
		a.grid[c] = append(a.grid[c], i)
		return
	}
	for _, poly := range o.Zones[0].Shape {
		put(orb.MultiPolygon{poly})
	}
}

func cellOf(p orb.Point) cell {
	const turn = 360
	lon := math.Mod(math.Mod(math.Floor(p[0]), turn)+turn, turn)
	return cell{int16(lon), int16(math.Floor(p[1]))}
}

// Counties returns all counties, by FIPS code. Outlines are shared: do not
// change them.
func (a *Atlas) Counties() []County { return append([]County(nil), a.counties...) }

// offshoreKm is how far from the nearest outline a point may lie and still be
// given to that county: coasts are simplified, and piers stand in the water.
// Our own choice.
const offshoreKm = 25

// At returns the county in which a point lies, or within 25 km of it the
// nearest one, with a Note. The error is a *NotFoundError.
func (a *Atlas) At(p orb.Point) (County, error) {
	if !(math.Abs(p[1]) <= 90) || !(math.Abs(p[0]) <= 360) {
		return County{}, &NotFoundError{Query: fmt.Sprintf("%g, %g", p[1], p[0]), Mend: "give latitude and longitude in degrees"}
	}
	for _, i := range a.grid[cellOf(p)] {
		if a.counties[i].Outline.Contains(p) {
			return a.counties[i], nil
		}
	}
	best, away := -1, math.Inf(1)
	for dx := -1.0; dx <= 1; dx++ {
		for dy := -1.0; dy <= 1; dy++ {
			for _, i := range a.grid[cellOf(orb.Point{p[0] + dx, p[1] + dy})] {
				if d := a.counties[i].Outline.edgeKm(p); d < away {
					best, away = i, d
				}
			}
		}
	}
	if away > offshoreKm {
		return County{}, &NotFoundError{Query: fmt.Sprintf("%g, %g", p[1], p[0]),
			Mend: "the embedded outlines are of the United States; elsewhere give an outline of your own as GeoJSON"}
	}
	c := a.counties[best]
	c.Note = fmt.Sprintf("the point lies %.0f km outside of its outline", away)
	return c, nil
}

// edgeKm returns the distance from a point to the nearest edge of an outline,
// km, taking the earth as flat between them.
func (o Outline) edgeKm(p orb.Point) float64 {
	best := km(o.Spot, p)
	cos := math.Cos(radians(p[1]))
	for _, z := range o.Zones {
		for _, poly := range z.Shape {
			lon := near(p[0], poly[0][0][0])
			for i := 1; i < len(poly[0]); i++ {
				a, b := poly[0][i-1], poly[0][i]
				ax, ay, bx, by := (a[0]-lon)*cos, a[1]-p[1], (b[0]-lon)*cos, b[1]-p[1]
				dx, dy := bx-ax, by-ay
				t := 0.0
				if d := dx*dx + dy*dy; d > 0 {
					t = min(max(-(ax*dx+ay*dy)/d, 0), 1)
				}
				best = min(best, radians(math.Hypot(ax+t*dx, ay+t*dy))*earthKm)
			}
		}
	}
	return best
}
