package format

import (
	"fmt"

	"bloomtide/ingest/weather"
)

// Unit is the unit in which a file writes its temperatures.
type Unit uint8

// The units that a file may use. Auto, the zero value, takes the unit from the
// layout, the header or the values.
const (
	Auto    Unit = iota
	C            // degrees Celsius
	F            // degrees Fahrenheit
	TenthsC      // tenths of a degree Celsius
)

// ParseUnit reads C, F, tenths or auto, and empty as auto.
func ParseUnit(s string) (Unit, error) {
	switch s {
	case "", "auto", "Auto", "AUTO":
		return Auto, nil
	case "C", "c", "°C":
		return C, nil
	case "F", "f", "°F":
		return F, nil
	case "tenths", "Tenths":
		return TenthsC, nil
	}
	return Auto, fmt.Errorf("unit %q is none of C, F, tenths and auto", s)
}

// String returns the unit as a reader of messages expects it.
func (u Unit) String() string {
	switch u {
	case C:
		return "°C"
	case F:
		return "°F"
	case TenthsC:
		return "tenths of °C"
	default:
		return "unknown unit"
	}
}

// scale turns the number in a cell into the unit of its element.
type scale uint8

const (
	asIs scale = iota
	tenth
	fahrenheit
	inch
	hundredthInch
	knot
	mileAnHour
	kilometreAnHour
)

// temperature returns the scale of a temperature unit.
func (u Unit) temperature() scale {
	switch u {
	case F:
		return fahrenheit
	case TenthsC:
		return tenth
	default:
		return asIs
	}
}

// of converts a number. The factors are exact by definition: 1 in = 25.4 mm,
// 1 mile = 1609.344 m, 1 knot = 1852 m/h.
func (s scale) of(v float64) float64 {
	switch s {
	case tenth:
		return v / 10
	case fahrenheit:
		return float64(weather.FromFahrenheit(v))
	case inch:
		return v * 25.4
	case hundredthInch:
		return v * 0.254
	case knot:
		return v * 1852 / 3600
	case mileAnHour:
		return v * 1609.344 / 3600
	case kilometreAnHour:
		return v / 3.6
	default:
		return v
	}
}
