package county

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Outline is the shape of a place: a county or what the user has drawn.
type Outline struct {
	Name  string // may be empty
	Zones []Zone // at least one, unless the place is only a spot
	Spot  orb.Point
}

// Zone is a part of a place, with its height where that is known.
type Zone struct {
	Shape orb.MultiPolygon
	ElevM float64 // mean height above sea level, m; NaN where unknown
}

// Sample is a point that stands for a share of a place.
type Sample struct {
	Point  orb.Point
	ElevM  float64 // m, NaN where unknown
	Weight float64 // all weights of a place sum to 1
}

// Contains reports whether a point lies in the outline. Edges belong to either
// side. Longitudes may be given in any turn.
func (o Outline) Contains(p orb.Point) bool {
	for _, z := range o.Zones {
		if inside(z.Shape, p) {
			return true
		}
	}
	return false
}

// AreaKm2 returns the area on the sphere, km²; 0 for a spot.
func (o Outline) AreaKm2() float64 {
	var sum float64
	for _, z := range o.Zones {
		sum += zoneKm2(z)
	}
	return sum
}

func zoneKm2(z Zone) float64 {
	var sum float64
	for _, poly := range z.Shape {
		sum += areaKm2(poly[0])
		for _, hole := range poly[1:] {
			sum -= areaKm2(hole)
		}
	}
	return max(sum, 0)
}

// Centre returns a point inside the outline: the mean of its area where that
// lies inside, else the sample nearest to it.
func (o Outline) Centre() orb.Point {
	const fine = 60 // samples, our choice
	all := o.Samples(fine)
	var mean orb.Point
	for _, s := range all {
		mean[0] += s.Weight * near(s.Point[0], all[0].Point[0])
		mean[1] += s.Weight * s.Point[1]
	}
	mean[0] = near(mean[0], 0)
	if o.Contains(mean) {
		return mean
	}
	best := all[0].Point
	for _, s := range all {
		if km(s.Point, mean) < km(best, mean) {
			best = s.Point
		}
	}
	return best
}

// Samples returns about n points spread evenly over the area, each with its
// share of it, at least one for every zone. A zone's points lie on rows of
// equal latitude, as far apart as in the row. A spot gives itself.
func (o Outline) Samples(n int) []Sample {
	total := o.AreaKm2()
	var out []Sample
	for _, z := range o.Zones {
		size := zoneKm2(z)
		share := size / total
		points := spread(z.Shape, size, max(1, int(math.Round(share*float64(n)))))
		for _, p := range points {
			out = append(out, Sample{Point: p, ElevM: z.ElevM, Weight: share / float64(len(points))})
		}
	}
	if len(out) == 0 || !(total > 0) {
		return []Sample{{Point: o.Spot, ElevM: math.NaN(), Weight: 1}}
	}
	return out
}

// spread returns points of a regular net inside a shape of a size in km²,
// about n of them, at least one and never many times as many. Where that takes
// too fine a net, as in a sliver across a wide box, it is one point.
func spread(m orb.MultiPolygon, sizeKm2 float64, n int) []orb.Point {
	const kmPerDegree = earthKm * math.Pi / 180
	west, south, east, north := bounds(m)
	stepKm := math.Sqrt(sizeKm2 / float64(n))
	const (
		tries     = 6       // each with a net twice as fine
		mostKnots = 200_000 // of a net, our choice: no county of the atlas comes near
	)
	for range tries {
		var out []orb.Point
		dy := stepKm / kmPerDegree
		if !((north-south)/dy*((east-west)/dy) <= mostKnots) { // nor where holes leave no area
			break
		}
		for y := south + dy/2; y < north && len(out) <= 4*n; y += dy {
			dx := dy / max(0.02, math.Cos(radians(y)))
			for x := west + dx/2; x < east; x += dx {
				if p := (orb.Point{near(x, 0), y}); inside(m, p) {
					out = append(out, p)
				}
			}
		}
		if len(out) > 0 {
			return out
		}
		stepKm /= 2
	}
	return []orb.Point{within(m)}
}

// within returns a point inside the largest polygon: the middle of the widest
// stretch of the parallel through its waist.
func within(m orb.MultiPolygon) orb.Point {
	best := m[0][0]
	for _, poly := range m {
		if areaKm2(poly[0]) > areaKm2(best) {
			best = poly[0]
		}
	}
	_, south, _, north := bounds(orb.MultiPolygon{{best}})
	y := (south + north) / 2
	west, widest := best[0][0], -1.0
	var cuts []float64
	for i := 1; i < len(best); i++ {
		a, b := best[i-1], best[i]
		if (a[1] > y) != (b[1] > y) {
			cuts = append(cuts, a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]))
		}
	}
	slices.Sort(cuts)
	for i := 0; i+1 < len(cuts); i += 2 {
		if w := cuts[i+1] - cuts[i]; w > widest {
			widest, west = w, cuts[i]
		}
	}
	return orb.Point{near(west+max(widest, 0)/2, 0), y}
}
