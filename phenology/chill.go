package phenology

import "math"

// ChillHour returns 1 for an hour above 0 and up to 7.2 °C, else 0. Others
// count every hour below 7.2 °C.
//
// Weinberger 1950 (from memory).
func ChillHour(t float64) float64 {
	if t > 0 && t <= 7.2 {
		return 1
	}
	return 0
}

// UtahUnit returns the chill units of an hour, −1 to 1: warm hours undo chill.
//
// Richardson, Seeley and Walker 1974.
func UtahUnit(t float64) float64 {
	switch {
	case t <= 1.4:
		return 0
	case t <= 2.4:
		return 0.5
	case t <= 9.1:
		return 1
	case t <= 12.4:
		return 0.5
	case t <= 15.9:
		return 0
	case t <= 18:
		return -0.5
	default:
		return -1
	}
}

// PositiveUtahUnit is UtahUnit without the undoing (Linsley-Noakes et al. 1995,
// from memory).
func PositiveUtahUnit(t float64) float64 { return max(0, UtahUnit(t)) }

// Dynamic counts chill portions hour by hour: cold builds an intermediate that
// warmth destroys, and each full unit of it is banked for good. The zero value
// starts a winter.
type Dynamic struct {
	started      bool
	intermediate float64
	banked       float64 // share of a full intermediate that the hour before banked
}

// Constants of Fishman, Erez and Couvillon 1987, as three public programs have
// them.
const (
	dynamicE0  = 4153.5   // K
	dynamicE1  = 12888.8  // K
	dynamicA0  = 139500   // 1/h
	dynamicA1  = 2.567e18 // 1/h
	dynamicSlp = 1.6      // 1/K
	dynamicTet = 277.0    // K
	dynamicK   = 273.0    // K at 0 °C, as the programs have it
)

// Portion returns the chill portion that an hour adds, 0 or about 1.
//
//	t  temperature of the hour, °C
//
// Fishman, Erez and Couvillon 1987.
func (d *Dynamic) Portion(t float64) float64 {
	k := t + dynamicK
	xi := 1 / (1 + math.Exp(-dynamicSlp*dynamicTet*(k-dynamicTet)/k))
	before := d.banked
	d.banked = xi
	if !d.started {
		d.started = true
		return 0 // the first hour has nothing to build on
	}
	xs := dynamicA0 / dynamicA1 * math.Exp((dynamicE1-dynamicE0)/k)
	ak := dynamicA1 * math.Exp(-dynamicE1/k)
	left := d.intermediate
	if left >= 1 {
		left *= 1 - before
	}
	d.intermediate = xs - (xs-left)*math.Exp(-ak)
	if d.intermediate < 1 {
		return 0
	}
	return d.intermediate * xi
}
