package phenology

import "math"

// sines remembers the heat of days by the single sine: daily extremes are kept
// in tenths of a degree, so that the same few days come again and again in every
// year and under every threshold. The zero value is ready.
type sines struct {
	// Degree days above a threshold by the day's range and, within a range, by how
	// deep the threshold lies under the maximum, 0 to the range, both in tenths of
	// a kelvin; NaN: a range not met yet.
	above []float64
}

// tenthsDay is a day in tenths of a degree.
type tenthsDay struct {
	row      int32 // where the degree days of its range begin; −1: no whole tenths, or too wide
	hi, wide int16 // maximum and range
}

// widest is the greatest daily range that is remembered, tenths of a kelvin:
// hardly any place on earth has days of more than 40 K (from memory).
const widest = 400

// perDegree is the resolution of the record: agencies publish tenths.
const perDegree = 10

// inTenths returns a temperature as a whole number of tenths; ok is false where
// it is not one to within rounding.
func inTenths(t float64) (n int32, ok bool) {
	const far = 10_000 // tenths; beyond any temperature, and twice it inside an int16
	up := t*perDegree + (far + 0.5)
	if !(up > 0 && up < 2*far) {
		return 0, false
	}
	n = int32(up) - far // rounded, since what is cut off is above 0
	off := t*perDegree - float64(n)
	return n, off < 1e-9 && off > -1e-9
}

// rowOf returns where a range begins: each has an entry for every tenth from the
// maximum down to the minimum.
func rowOf(wide int32) int32 { return wide * (wide + 1) / 2 }

// tenthsOf brings a day into tenths.
func tenthsOf(lo, hi float64) tenthsDay {
	l, ok := inTenths(lo)
	h, ok2 := inTenths(hi)
	wide := h - l
	if !ok || !ok2 || wide < 0 || wide > widest {
		return tenthsDay{row: -1}
	}
	return tenthsDay{row: rowOf(wide), hi: int16(h), wide: int16(wide)}
}

// reserve makes room for ranges up to wide, nothing in the new ones.
func (s *sines) reserve(wide int32) {
	n := int(rowOf(wide + 1))
	if n <= len(s.above) {
		return
	}
	longer := make([]float64, n)
	for i := copy(longer, s.above); i < n; i++ {
		longer[i] = math.NaN()
	}
	s.above = longer
}

// heat is aboveSine for a threshold in tenths, NaN where it is not known yet.
// Below the day's minimum each tenth adds itself.
func (s *sines) heat(d tenthsDay, l int32) float64 {
	deep := orZero(int32(d.hi) - l)
	below := orZero(deep - int32(d.wide))
	return s.above[d.row+deep-below] + float64(below)*(1./perDegree)
}

// orZero is max(n, 0) without a branch, which no processor could foretell in
// spring.
func orZero(n int32) int32 { return n &^ (n >> 31) }

// learn fills in the range of a day, all of it, since a season of one range asks
// for most. In the upper half of the day the excess above t is that below t, less
// the mean's distance: above(A−u) = u + above(A+u).
func (s *sines) learn(d tenthsDay) {
	wide := int(d.wide)
	row := s.above[d.row : int(d.row)+wide+1]
	for deep := range row {
		over := 2*deep - wide // twice the mean's distance above t
		if over <= 0 {
			row[deep] = aboveSine(float64(deep-wide)/perDegree, float64(deep)/perDegree, 0)
			continue
		}
		row[deep] = float64(over)*(0.5/perDegree) + row[wide-deep]
	}
}
