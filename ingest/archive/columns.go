package archive

import (
	"fmt"
	"math"
	"slices"

	"bloomtide/ingest/weather"
)

// element says where one element lies in a file.
type element struct {
	name      string  // of the column of values
	flagsName string  // of the column of flags
	lo, hi    float64 // bounds of a value, in the unit of weather.Day
}

// Bounds of a day's rain, mm, and mean wind, m/s: ten times what ingest/format
// lets pass.
const (
	wettest  = 20000
	windiest = 1200
)

// Names of the columns that are no element.
const (
	stationColumn = "station"
	dateColumn    = "date"
)

// The elements of a day, in the order of elements.
const (
	windAt = 3 // wind, the last, which files of before it was kept have not
	kinds  = 4
)

// columns are all elements of all days.
type columns [kinds]column

// elements lists what a file holds, in the order of its columns.
func elements() [kinds]element {
	coldest, hottest := float64(weather.Coldest), float64(weather.Hottest)
	return [kinds]element{
		{"tmin_tenths_c", "tmin_flags", coldest, hottest},
		{"tmax_tenths_c", "tmax_flags", coldest, hottest},
		{"rain_tenths_mm", "rain_flags", 0, wettest},
		{"wind_tenths_ms", "wind_flags", 0, windiest},
	}
}

// perUnit is how many of the stored integers make 1 °C, 1 mm or 1 m/s.
const perUnit = 10

// tenths returns a value as stored and its flags; none where it cannot be one of
// its element. Halves go away from zero.
func (e *element) tenths(v float64, f weather.Flags) (int32, weather.Flags) {
	if !(v >= e.lo && v <= e.hi) { // catches NaN too
		return 0, 0
	}
	return int32(v*perUnit + math.Copysign(0.5, v)), f
}

// column is one element of all days, as stored.
type column struct {
	values []int32 // without the missing ones
	levels []byte  // a day each: 1 where there is a value
	flags  []int32 // a day each
}

// gather takes all elements out of the days, in the room of c.
func (c *columns) gather(days []weather.Day) {
	var n [kinds]int
	for k := range c {
		c[k].ready(len(days))
	}
	all, low, high, rain, wind := elements(), &c[0], &c[1], &c[2], &c[windAt]
	for i := range days {
		d := &days[i]
		v, f := all[0].tenths(float64(d.Min), d.MinFlags)
		n[0] += low.put(i, n[0], v, f)
		v, f = all[1].tenths(float64(d.Max), d.MaxFlags)
		n[1] += high.put(i, n[1], v, f)
		v, f = all[2].tenths(d.RainMm, d.RainFlags)
		n[2] += rain.put(i, n[2], v, f)
		v, f = all[windAt].tenths(d.WindMs, d.WindFlags)
		n[windAt] += wind.put(i, n[windAt], v, f)
	}
	for k := range c {
		c[k].values = c[k].values[:n[k]]
	}
}

// ready makes room for so many days.
func (c *column) ready(days int) {
	c.values = slices.Grow(c.values[:0], days)[:days]
	c.levels = slices.Grow(c.levels[:0], days)[:days]
	c.flags = slices.Grow(c.flags[:0], days)[:days]
}

// put keeps a value of day i after n others and returns 1, or 0 where there is
// none, which has no flags. Which of these is no jump, since it is not to be
// foreseen.
func (c *column) put(i, n int, v int32, f weather.Flags) int {
	there := (int(f) + math.MaxUint8) >> 8
	c.values[n], c.levels[i], c.flags[i] = v, byte(there), int32(f)
	return there
}

// empty leaves the room of a column that is not there.
func (c *column) empty() { c.values, c.levels, c.flags = c.values[:0], c.levels[:0], c.flags[:0] }

// check says what an element's column cannot hold, "" for nothing.
func (e *element) check(c column) (what string) {
	const known = int32(weather.Observed | weather.Estimated | weather.Rejected)
	lo, hi := int32(e.lo*perUnit), int32(e.hi*perUnit)
	for _, v := range c.values {
		if v < lo || v > hi {
			return e.name + " holds a value that cannot be on earth"
		}
	}
	there := 0
	for i, f := range c.flags {
		if f&^known != 0 || (f != 0) != (c.levels[i] != 0) {
			return e.flagsName + " does not fit " + e.name
		}
		there += int(c.levels[i])
	}
	if there != len(c.values) {
		return fmt.Sprintf("%s has %d values for %d days", e.name, len(c.values), there)
	}
	return ""
}

// join makes days of checked columns, in the order of elements. One pass over
// the days is what makes reading fast: they are the largest part by far.
func join(c *columns) []weather.Day {
	days := make([]weather.Day, len(c[0].flags))
	var at [windAt]int
	for i := range days {
		d := &days[i]
		if f := c[0].flags[i]; f != 0 {
			d.Min, d.MinFlags = weather.Celsius(c[0].values[at[0]])/perUnit, weather.Flags(f)
			at[0]++
		}
		if f := c[1].flags[i]; f != 0 {
			d.Max, d.MaxFlags = weather.Celsius(c[1].values[at[1]])/perUnit, weather.Flags(f)
			at[1]++
		}
		if f := c[2].flags[i]; f != 0 {
			d.RainMm, d.RainFlags = float64(c[2].values[at[2]])/perUnit, weather.Flags(f)
			at[2]++
		}
	}
	if len(c[windAt].values) == 0 { // as in most files
		return days
	}
	n := 0
	for i, f := range c[windAt].flags {
		if f != 0 {
			days[i].WindMs, days[i].WindFlags = float64(c[windAt].values[n])/perUnit, weather.Flags(f)
			n++
		}
	}
	return days
}
