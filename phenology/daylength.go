package phenology

import "math"

// Twilight says how far the sun's centre stands below the horizon, in degrees,
// when the day begins and ends.
type Twilight float64

// The twilights (Forsythe et al. 1995, table 1).
const (
	TopOfDisc Twilight = 0.8333 // the sun's upper edge shows, with refraction: sunrise
	Centre    Twilight = 0      // the sun's centre is level
	Civil     Twilight = 6      // one can read outdoors
)

// Daylength returns the hours of daylight, 0 to 24, by the CBM model.
//
//	latDeg  latitude, degrees, north positive
//	doy     day of the year, 1 to 366
//	p       twilight
//
//	θ = 0.2163108 + 2 atan(0.9671396 tan(0.00860 (J−186)))
//	φ = asin(0.39795 cos θ)
//	D = 24 − (24/π) acos{[sin p + sin L sin φ] / (cos L cos φ)}
//
// Forsythe, Rykiel, Stahl, Wu and Schoolfield 1995, eq. 1 to 3.
func Daylength(latDeg float64, doy int, p Twilight) float64 {
	θ := 0.2163108 + 2*math.Atan(0.9671396*math.Tan(0.00860*float64(doy-186)))
	φ := math.Asin(0.39795 * math.Cos(θ))
	lat := latDeg * math.Pi / 180
	c := (math.Sin(float64(p)*math.Pi/180) + math.Sin(lat)*math.Sin(φ)) / (math.Cos(lat) * math.Cos(φ))
	return 24 - 24/math.Pi*math.Acos(min(max(c, -1), 1))
}

// SpencerDaylength returns the hours between sunrise and sunset, 0 to 24, by
// the declination of Spencer 1971 and a sun whose upper edge shows at 0.8333°
// below the horizon. It is kept to check the CBM model.
//
// Spencer 1971, with sin 2Γ in the fifth term: a published program has sin Γ
// there.
func SpencerDaylength(latDeg float64, doy int) float64 {
	g := 2 * math.Pi * float64(doy-1) / 365
	δ := 0.006918 - 0.399912*math.Cos(g) + 0.070257*math.Sin(g) - 0.006758*math.Cos(2*g) +
		0.000907*math.Sin(2*g) - 0.002697*math.Cos(3*g) + 0.00148*math.Sin(3*g)
	lat := latDeg * math.Pi / 180
	sunrise := math.Sin(-float64(TopOfDisc) * math.Pi / 180)
	c := (sunrise - math.Sin(lat)*math.Sin(δ)) / (math.Cos(lat) * math.Cos(δ))
	return 24 / math.Pi * math.Acos(min(max(c, -1), 1))
}
