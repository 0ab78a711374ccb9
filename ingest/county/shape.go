package county

import (
	"math"

	"github.com/paulmach/orb"
)

// earthKm is the mean radius of the earth, km (IUGG, from memory).
const earthKm = 6371.0088

// fewestPositions closes a ring round an area: three corners and the first
// again (RFC 7946, 3.1.6).
const fewestPositions = 4

// tidy closes a ring, brings its longitudes to one run across the 180th
// meridian, and returns nil where it holds no area.
func tidy(r orb.Ring) orb.Ring {
	if len(r) == 0 {
		return nil
	}
	if r[0] != r[len(r)-1] {
		r = append(r, r[0])
	}
	if len(r) < fewestPositions {
		return nil
	}
	for i := 1; i < len(r); i++ {
		r[i][0] = near(r[i][0], r[i-1][0])
	}
	if math.Abs(area(r)) == 0 {
		return nil
	}
	return r
}

// near returns the longitude, by whole turns, that is closest to another.
func near(lon, to float64) float64 {
	const turn = 360
	return lon - turn*math.Round((lon-to)/turn)
}

// area returns twice the signed area of a ring, in square degrees.
func area(r orb.Ring) float64 {
	var sum float64
	for i := 1; i < len(r); i++ {
		// Relative to the first corner, lest small rings drown in rounding.
		a, b := r[i-1], r[i]
		sum += (a[0]-r[0][0])*(b[1]-r[0][1]) - (b[0]-r[0][0])*(a[1]-r[0][1])
	}
	return sum
}

// areaKm2 returns the area of a ring on the sphere, km². A ring between two
// parallels has the area R²·Δλ·Δsin φ; summed along the edges, each taken as
// straight in longitude and sine of latitude.
func areaKm2(r orb.Ring) float64 {
	var sum float64
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		sum += radians(b[0]-a[0]) * (2 + math.Sin(radians(a[1])) + math.Sin(radians(b[1])))
	}
	return math.Abs(sum) / 2 * earthKm * earthKm
}

func radians(deg float64) float64 { return deg * math.Pi / 180 }

// middle returns the mean of a ring's corners.
func middle(r orb.Ring) orb.Point {
	var x, y float64
	for _, p := range r {
		x += near(p[0], r[0][0])
		y += p[1]
	}
	n := float64(len(r))
	return orb.Point{near(x/n, 0), y / n}
}

// inRing reports whether a point lies in a ring, by counting the edges that a
// line to the east crosses (even-odd rule).
func inRing(r orb.Ring, p orb.Point) bool {
	in := false
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		if (a[1] > p[1]) == (b[1] > p[1]) {
			continue
		}
		if p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// inside reports whether a point lies in the shape, whichever turn its
// longitude is given in.
func inside(m orb.MultiPolygon, p orb.Point) bool {
	for _, poly := range m {
		lon := near(p[0], poly[0][0][0])
		for _, q := range []orb.Point{{lon, p[1]}, {lon + 360, p[1]}, {lon - 360, p[1]}} {
			if inRing(poly[0], q) && !inHole(poly, q) {
				return true
			}
		}
	}
	return false
}

func inHole(poly orb.Polygon, p orb.Point) bool {
	for _, hole := range poly[1:] {
		shift := hole[0][0] - near(hole[0][0], poly[0][0][0])
		for _, turn := range []float64{shift, shift + 360, shift - 360} {
			if inRing(hole, orb.Point{p[0] + turn, p[1]}) {
				return true
			}
		}
	}
	return false
}

// bounds returns the west, south, east and north ends of a shape. East may
// exceed 180 where the shape lies across that meridian.
func bounds(m orb.MultiPolygon) (west, south, east, north float64) {
	west, south, east, north = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	if len(m) == 0 {
		return
	}
	first := m[0][0][0][0]
	for _, poly := range m {
		shift := near(poly[0][0][0], first) - poly[0][0][0]
		for _, p := range poly[0] {
			west, east = min(west, p[0]+shift), max(east, p[0]+shift)
			south, north = min(south, p[1]), max(north, p[1])
		}
	}
	return
}

// km returns the great-circle distance of two points, km (haversine formula).
func km(a, b orb.Point) float64 {
	φ1, φ2 := radians(a[1]), radians(b[1])
	s, t := math.Sin((φ2-φ1)/2), math.Sin(radians(b[0]-a[0])/2)
	return 2 * earthKm * math.Asin(math.Sqrt(min(1, s*s+math.Cos(φ1)*math.Cos(φ2)*t*t)))
}
