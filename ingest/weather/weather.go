// Package weather is the vocabulary that every other package speaks: dates,
// temperatures, readings, days, series and sites. It computes nothing about
// plants or bees and reads no file; see ingest/format for that.
package weather

import (
	"math"

	"github.com/paulmach/orb"
)

// Celsius is a temperature in degrees Celsius. A difference of two
// temperatures is in kelvin and is a plain number whose name ends in K.
type Celsius float64

// FromFahrenheit converts a temperature (not a difference) from °F.
//
//	°C = (°F − 32) / 1.8
//
// Exact by definition of the scale.
func FromFahrenheit(f float64) Celsius { return Celsius((f - 32) / 1.8) }

// Fahrenheit returns the temperature in °F.
func (c Celsius) Fahrenheit() float64 { return float64(c)*1.8 + 32 }

// Coldest and Hottest bound what a thermometer in a screen has ever shown on
// earth, rounded outward: −89.2 °C at Vostok and 56.7 °C at Furnace Creek (WMO
// World Weather and Climate Extremes Archive, from memory). Readings outside
// are a wrong unit or a slip.
const (
	Coldest Celsius = -90
	Hottest Celsius = 60
)

// Element says what a reading measures.
type Element uint8

// The elements kept, with the unit of Reading.Value.
const (
	TMax  Element = iota + 1 // daily maximum air temperature, °C
	TMin                     // daily minimum air temperature, °C
	TMean                    // daily mean air temperature, °C
	Rain                     // daily precipitation, mm
	Wind                     // daily mean wind speed, m/s
)

// String returns the short name used in messages, as GHCN-Daily writes it.
func (e Element) String() string {
	switch e {
	case TMax:
		return "TMAX"
	case TMin:
		return "TMIN"
	case TMean:
		return "TAVG"
	case Rain:
		return "PRCP"
	case Wind:
		return "AWND"
	default:
		return "element?"
	}
}

// Flags tell what a value is worth. The zero value means that there is none.
type Flags uint8

// A value is usable when it is observed or estimated and not rejected.
const (
	Observed  Flags = 1 << iota // read from a record
	Estimated                   // filled in by ingest/fill or ingest/areal
	Rejected                    // the publisher or a check of ours says not to use it
)

// Usable reports whether a value with these flags may enter a computation.
func (f Flags) Usable() bool { return f&(Observed|Estimated) != 0 && f&Rejected == 0 }

// Yields reports whether a value with these flags, or none, gives way to a later
// one of the same element and day: there is none yet, or it is rejected and the
// other is not. Of two such values the first stands.
func (f Flags) Yields(to Flags) bool {
	return to != 0 && (f == 0 || !f.Usable() && to.Usable())
}

// Reading is one value of one element on one day at one station.
type Reading struct {
	Station string // identifier within its publisher
	Date    Date
	Element Element
	Value   float64 // in the unit of the Element
	Flags   Flags
	Line    int // line of the file it came from, 0 if unknown
}

// Day holds the values of one day. A value counts only if its flags say so.
type Day struct {
	Min, Max           Celsius
	RainMm             float64
	MinFlags, MaxFlags Flags
	RainFlags          Flags
	WindMs             float64 // daily mean, m/s
	WindFlags          Flags
}

// Usable reports whether the day has both extremes, neither rejected, in the
// right order.
func (d Day) Usable() bool {
	return d.MinFlags.Usable() && d.MaxFlags.Usable() && d.Min <= d.Max
}

// Estimated reports whether either extreme was filled in.
func (d Day) Estimated() bool { return (d.MinFlags|d.MaxFlags)&Estimated != 0 }

// Site is a station or a place.
type Site struct {
	ID    string
	Name  string
	Point orb.Point // longitude, latitude in degrees, WGS 84
	ElevM float64   // metres above sea level, NaN where unknown
}

// LatDeg returns the latitude, degrees, north positive.
func (s Site) LatDeg() float64 { return s.Point.Lat() }

// Located reports whether the site's position is a real place on the globe.
// Unknown positions are NaN.
func (s Site) Located() bool {
	return math.Abs(s.Point.Lat()) <= 90 && math.Abs(s.Point.Lon()) <= 180
}

// Nowhere is the position of a site that nothing has told us.
func Nowhere() orb.Point { return orb.Point{math.NaN(), math.NaN()} }
