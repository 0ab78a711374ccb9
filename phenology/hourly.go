package phenology

import "math"

// HoursOf is what Linvill's curve needs to know of a day and its neighbours.
type HoursOf struct {
	Min, Max float64 // of the day, °C
	NextMin  float64 // of tomorrow, °C
	Light    float64 // daylength, h

	PrevMin, PrevMax, PrevLight float64 // of yesterday, °C and h
}

// hottestLag is how many hours longer than the day the sine of Linvill's curve
// runs: the warmest hour is two hours past noon.
const hottestLag = 4.0

// Linvill returns the temperature at each full hour of solar time, 0 to 23, °C:
// a sine by day and a logarithmic fall by night.
//
//	day:    T = n + (x−n) sin(π t/(D+4)), t hours after sunrise
//	night:  T = Ts − (Ts−n′)/ln(24−D) · ln(max(1, k)), k hours after sunset
//
// Before sunrise the night is yesterday's. In the polar day there is no
// sunset and the sine runs all day.
//
// Linvill 1990.
func Linvill(d HoursOf) (t [24]float64) {
	rise, set := 12-d.Light/2, 12+d.Light/2
	prevSet := 12 + d.PrevLight/2
	dusk := sunsetTemperature(d.Min, d.Max, d.Light)
	prevDusk := sunsetTemperature(d.PrevMin, d.PrevMax, d.PrevLight)
	for h := range t {
		at := float64(h)
		switch {
		case at < rise:
			t[h] = nightFall(prevDusk, d.Min, 24-prevSet+rise, at+24-prevSet)
		case at <= set:
			t[h] = d.Min + (d.Max-d.Min)*math.Sin(math.Pi*(at-rise)/(d.Light+hottestLag))
		default:
			t[h] = nightFall(dusk, d.NextMin, 24-d.Light, at-set)
		}
	}
	return t
}

func sunsetTemperature(n, x, light float64) float64 {
	return n + (x-n)*math.Sin(math.Pi*light/(light+hottestLag))
}

// nightFall returns the temperature k hours into a night of a length in hours.
func nightFall(dusk, dawn, length, k float64) float64 {
	if length <= 1 {
		return dusk // no night to speak of
	}
	return dusk - (dusk-dawn)/math.Log(length)*math.Log(min(max(1, k), length))
}

// LinearHeat returns the growing degree hours of an hour: temperature above
// 4.5 °C, at most 20.5 K.
//
// Richardson, Seeley, Walker, Anderson and Ashcroft 1975.
func LinearHeat(t float64) float64 { return min(max(t, 4.5), 25) - 4.5 }

// AsymmetricHeat returns the growing degree hours of an hour by the asymmetric
// cosine: from 4 °C up to 21 K at 25 °C, and down to none at 36 °C.
//
// Anderson, Richardson and Kesner 1986.
func AsymmetricHeat(t float64) float64 {
	const base, best, critical = 4.0, 25.0, 36.0 // °C
	switch {
	case t <= base || t > critical:
		return 0
	case t <= best:
		return (best - base) / 2 * (1 + math.Cos(math.Pi+math.Pi*(t-base)/(best-base)))
	default:
		return (best - base) * (1 + math.Cos(math.Pi/2+math.Pi/2*(t-best)/(critical-best)))
	}
}
