package phenology

import "math"

// halfDay tabulates the heat of the single sine, for temperatures that are no
// whole tenths, as those brought to another height are. A day whose threshold
// lies s half ranges above its mean, 0 ≤ s ≤ 1, has the heat of W·H(u), where
//
//	s = cos φ,  u = sin(φ/2) = √((1−s)/2),  H(u) = (sin φ − φ cos φ) / π
//
// which is Baskerville and Emin 1969 with φ = π/2−θ. H is smooth in u, also at 0
// where the heat begins, and its slope is 8u·asin(u)/π, so that cubics through
// value and slope miss it by less than the rounding of a year's sum; a test holds
// them to aboveSine.
type halfDay struct{ cubics [][4]float64 }

// steps is into how many cubics the range of u is cut: the error falls with its
// fourth power, and at 1024 it is 2·10⁻¹⁴ of the half range (measured by the test).
const steps = 1024

// mostU is the greatest u, at s = 0.
const mostU = math.Sqrt2 / 2

// newHalfDay fills the table.
func newHalfDay() halfDay {
	value := func(u float64) float64 {
		φ := 2 * math.Asin(u)
		sin, cos := math.Sincos(φ)
		return (sin - φ*cos) / math.Pi
	}
	slope := func(u float64) float64 { return 8 * u * math.Asin(u) / math.Pi }
	const width = mostU / steps
	h := halfDay{make([][4]float64, steps+1)}
	for i := range h.cubics {
		at := float64(i) * width
		a, b := value(at), value(at+width)
		da, db := slope(at)*width, slope(at+width)*width
		h.cubics[i] = [4]float64{a, da, 3*(b-a) - 2*da - db, 2*(a-b) + da + db}
	}
	return h
}

// above is aboveSine.
func (h *halfDay) above(n, x, t float64) float64 {
	if heat, ok := outside(n, x, t); ok {
		return heat
	}
	a, w := (x+n)/2, (x-n)/2
	s := (t - a) / w
	below := 0.
	if s < 0 { // above(A−d) = d + above(A+d)
		below, s = a-t, -s
	}
	u := math.Sqrt(max(0, 1-s)/2) * (steps / mostU)
	i := int(u)
	c, d := &h.cubics[i], u-float64(i)
	return below + w*(c[0]+d*(c[1]+d*(c[2]+d*c[3])))
}
