package report

import (
	"fmt"
	"math"
	"strings"

	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// Units are the user's units of measure.
type Units uint8

// Metric is °C, kg and L; US is °F, lb and qt.
const (
	Metric Units = iota
	US
)

// ParseUnits reads "metric" or "us".
func ParseUnits(s string) (Units, error) {
	switch strings.ToLower(s) {
	case "", "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, fmt.Errorf("unknown units %q; use metric or us", s)
}

// Exact by definition: the international pound, and the US liquid quart of
// 57.75 cubic inches.
const (
	kgPerLb = 0.45359237
	lPerQt  = 0.946352946
)

// mass writes a mass in kg in the user's units.
func (u Units) mass(kg float64) string {
	if u == US {
		return number(kg/kgPerLb) + " lb"
	}
	return number(kg) + " kg"
}

func (u Units) volume(l float64) string {
	if u == US {
		return number(l/lPerQt) + " qt"
	}
	return number(l) + " L"
}

func (u Units) temperature(c float64) string {
	if u == US {
		return fmt.Sprintf("%.0f °F", weather.Celsius(c).Fahrenheit())
	}
	return fmt.Sprintf("%.0f °C", c)
}

// number writes a quantity with two figures, so that an estimate does not look
// exact.
func number(x float64) string {
	if math.Abs(x) >= 10 {
		return fmt.Sprintf("%.0f", x)
	}
	s := fmt.Sprintf("%.1f", x)
	return strings.TrimSuffix(s, ".0")
}

// value writes one value of a reason.
func (p printer) value(v hive.Value) string {
	switch v.Unit {
	case hive.Days:
		if v.Number == 1 {
			return "1 day"
		}
		return number(v.Number) + " days"
	case hive.Kg:
		return p.Units.mass(v.Number)
	case hive.Litres:
		return p.Units.volume(v.Number)
	case hive.Celsius:
		return p.Units.temperature(v.Number)
	case hive.OnDate:
		return p.date(weather.Date(v.Number))
	default:
		return number(v.Number)
	}
}

// reason writes a reason out in the user's units.
func (p printer) reason(r hive.Reason) string {
	var b strings.Builder
	rest := r.Text
	for _, v := range r.Values {
		before, after, ok := strings.Cut(rest, "{}")
		if !ok {
			break
		}
		b.WriteString(before)
		b.WriteString(p.value(v))
		rest = after
	}
	b.WriteString(rest)
	return b.String()
}

// reasons writes several out.
func (p printer) reasons(all []hive.Reason) []string {
	out := make([]string, len(all))
	for i, r := range all {
		out[i] = p.reason(r)
	}
	return out
}
