package honey

import (
	"errors"
	"fmt"
	"math"
)

// The refractometer's scale is set for 20 °C; the reading falls as honey warms.
const (
	indexAtC  = 20.0    // °C
	indexPerK = 0.00023 // to add to the reading for each kelvin above 20 °C
)

// Index20 returns the refractive index that honey would show at 20 °C.
//
//	index  as read
//	atC    temperature of the honey, °C
//
// Wedmore 1955, as reprinted with Chataway's table.
func Index20(index, atC float64) float64 { return index + indexPerK*(atC-indexAtC) }

// ErrIndex is returned for a refractive index that no honey has.
var ErrIndex = errors.New("not a refractive index of honey")

// leastIndex and mostIndex bound the table: 25 % water and 13 %, with a little
// over at each end.
const leastIndex, mostIndex = 1.460, 1.520

// WaterFromIndex returns the water in honey, % of mass.
//
//	index  refractive index at 20 °C
//
//	W = (−0.26810 − log10(index − 1)) / 0.002243
//
// The error is ErrIndex for an index outside 1.460..1.520. Chataway 1932,
// Wedmore 1955. Reprints show the constant as 1.73190: its 1 is a negative
// characteristic, so the number is −1 + 0.73190.
func WaterFromIndex(index float64) (percent float64, err error) {
	if !(index >= leastIndex && index <= mostIndex) {
		return 0, fmt.Errorf("%w: %g is outside %.3f..%.3f", ErrIndex, index, leastIndex, mostIndex)
	}
	return (-0.26810 - math.Log10(index-1)) / 0.002243, nil
}

// point is a pair of a printed table.
type point struct{ x, y float64 }

// gravities is the specific gravity 20/20 of honey by its water, %. White 1975
// (from memory).
var gravities = []point{
	{13, 1.4457}, {14, 1.4404}, {15, 1.4350}, {16, 1.4295}, {17, 1.4237},
	{18, 1.4171}, {19, 1.4101}, {20, 1.4027}, {21, 1.3950},
}

// waterKgPerL is the density of water at 20 °C, kg/L.
const waterKgPerL = 0.99821

// SpecificGravity returns the specific gravity 20/20 of honey, by its water
// in %; beyond 13 to 21 % the nearest step of the table goes on.
func SpecificGravity(percent float64) float64 { return interpolate(gravities, percent) }

// KgPerL returns the density of honey at 20 °C, kg/L, by its water in %.
func KgPerL(percent float64) float64 { return SpecificGravity(percent) * waterKgPerL }

// equilibria is the water, %, that clover honey takes on in air of a relative
// humidity, %. Martin 1958, White.
var equilibria = []point{{52, 16.1}, {58, 17.4}, {66, 21.5}, {76, 28.9}, {81, 33.9}}

// EquilibriumWater returns the water, %, that honey in open cells or an open
// pail comes to in air of a relative humidity, %. It says nothing of honey
// that bees fan at 35 °C.
func EquilibriumWater(humidityPercent float64) float64 {
	return interpolate(equilibria, humidityPercent)
}

// interpolate goes straight from point to point and past the ends.
func interpolate(table []point, x float64) float64 {
	i := 1
	for i < len(table)-1 && x > table[i].x {
		i++
	}
	a, b := table[i-1], table[i]
	return a.y + (x-a.x)/(b.x-a.x)*(b.y-a.y)
}

// Band is how readily honey ferments.
type Band struct {
	Below float64 // water below which the band holds, %; +Inf for the last
	Text  string  // when honey of this water is safe
}

// bands by Lochhead 1933; he counts in whole tenths of a percent.
var bands = []Band{
	{17.1, "safe whatever its yeasts"},
	{18.1, "safe below 1000 yeasts a gram"},
	{19.1, "safe below 10 yeasts a gram"},
	{20.1, "safe below 1 yeast a gram"},
	{math.Inf(1), "always in danger of fermenting"},
}

// Fermentation returns the band of honey by its water, %. Lochhead 1933.
func Fermentation(percent float64) Band {
	for _, b := range bands {
		if percent < b.Below {
			return b
		}
	}
	return bands[len(bands)-1]
}
