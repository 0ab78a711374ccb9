package format

import "bloomtide/ingest/weather"

// cell is a value with its flags in 16 bits, as the readers of large files
// keep it: 0 for none, else the tenths plus an offset, doubled, plus 1 where
// the publisher rejected it.
type cell uint16

// Bounds of what a cell takes, tenths of °C, of mm and of m/s: those of
// weather.Coldest and weather.Hottest, wettest and windiest.
const (
	coldestTenths  = -900
	hottestTenths  = 600
	wettestTenths  = wettest * 10
	windiestTenths = windiest * 10
)

// Offsets that make the least value a positive number.
const (
	offsetT    = 1 - coldestTenths
	offsetRain = 1
)

// The elements of a day, in this order.
const (
	cellMin = iota
	cellMax
	cellRain
	cellsADay
)

// What is read and checked, but not kept with them: the mean not at all, and wind
// in a list of its own, since few stations measure it.
const (
	cellMean = cellsADay + iota
	cellWind
	cellKinds
)

// day is the cells of one station-day.
type dayCells [cellsADay]cell

// The same by element.
var (
	leastTenths = [cellKinds]int{coldestTenths, coldestTenths, 0, coldestTenths, 0}
	mostTenths  = [cellKinds]int{hottestTenths, hottestTenths, wettestTenths, hottestTenths, windiestTenths}
	offsets     = [cellKinds]int{offsetT, offsetT, offsetRain, offsetT, offsetRain}
)

// packT makes a cell of a temperature in bounds.
func packT(tenths int, rejected uint16) cell { return cell(uint16(tenths+offsetT)<<1 | rejected) }

// packRain makes a cell of rain or wind in bounds.
func packRain(tenths int, rejected uint16) cell {
	return cell(uint16(tenths+offsetRain)<<1 | rejected)
}

func (c cell) rejected() bool { return c&1 != 0 }

// some is 1 where there is a value, 0 for none.
func (c cell) some() int { return (int(c) + 0xffff) >> 16 }

func (c cell) flags() weather.Flags {
	return weather.Flags(c.some())*weather.Observed | weather.Flags(c&1)*weather.Rejected
}

// above is the tenths by the offset, 0 for none.
func (c cell) above(offset int) int { return (int(c>>1) - offset) * c.some() }

// mm is the amount of rain, and in m/s the speed of wind.
func (c cell) mm() float64 { return float64(c.above(offsetRain)) / 10 }

// unpack makes a day of the cells in place of what d holds. Which of them there
// are is no jump, since it is not to be foreseen.
func (k *dayCells) unpack(d *weather.Day) {
	low, high, rain := k[cellMin], k[cellMax], k[cellRain]
	*d = weather.Day{
		Min: weather.Celsius(low.above(offsetT)) / 10, MinFlags: low.flags(),
		Max: weather.Celsius(high.above(offsetT)) / 10, MaxFlags: high.flags(),
		RainMm: float64(rain.above(offsetRain)) / 10, RainFlags: rain.flags(),
	}
}

// blow gives wind to a day by the rule of put.
func (c cell) blow(d *weather.Day) {
	if f := c.flags(); d.WindFlags.Yields(f) {
		d.WindMs, d.WindFlags = c.mm(), f
	}
}

// put keeps a value by the rule of package ingest: one that is not rejected
// stands before one that is, and of two such the first. It reports whether
// there was one already, and whether it differs.
func (c *cell) put(v cell) (again, differs bool) {
	have := *c
	if have == 0 {
		*c = v
		return false, false
	}
	if have.rejected() && !v.rejected() {
		*c = v
	}
	return true, have>>1 != v>>1
}

// pack makes a cell of a reading from the slower reader; false where the
// element is not kept or a rejected value is out of bounds.
func pack(r weather.Reading) (at int, c cell, ok bool) {
	tenths := int(r.Value*10 + 0.5)
	if r.Value < 0 {
		tenths = int(r.Value*10 - 0.5)
	}
	bad := uint16(0)
	if !r.Flags.Usable() {
		bad = 1
	}
	switch r.Element {
	case weather.TMin, weather.TMax:
		at = cellMax
		if r.Element == weather.TMin {
			at = cellMin
		}
		if !Possible(r.Element, r.Value) {
			return at, 0, false
		}
		return at, packT(tenths, bad), true
	case weather.Rain:
		if !Possible(r.Element, r.Value) {
			return cellRain, 0, false
		}
		return cellRain, packRain(tenths, bad), true
	case weather.Wind:
		if !Possible(r.Element, r.Value) {
			return cellWind, 0, false
		}
		return cellWind, packRain(tenths, bad), true
	}
	return 0, 0, false
}
