package phenology

import (
	"fmt"
	"strconv"
	"strings"

	"bloomtide/ingest/weather"
)

// Light says how daylength weighs the heat of a plant. The zero value is not
// at all.
type Light struct {
	Exponent float64 // photothermal time: heat counts by (D/10 h) to this power; 0: not

	// Short-day thermal time: no heat counts where the day has Longest hours or
	// more, all of it at Free hours or less. Longest 0: not.
	Longest, Free float64 // h
}

// weigh returns the heat that counts on a day, of whatever unit heat has.
func (l Light) weigh(heat, latDeg float64, d weather.Date) float64 {
	if heat == 0 || l == (Light{}) {
		return heat
	}
	hours := Daylength(latDeg, d.DayOfYear(), TopOfDisc)
	if l.Exponent != 0 {
		heat = Photothermal(heat, hours, l.Exponent)
	}
	if l.Longest > 0 {
		heat *= ShortDay(hours, l.Longest, l.Free)
	}
	return heat
}

// Bounds of what ParseLight takes: steeper exponents have not been fitted to any
// plant (our own choice).
const maxExponent = 10

// ParseLight reads the weight of light as a forage table writes it: nothing,
// "photothermal 2" (the exponent) or "short days 13 to 15 h" (free at 13 hours,
// none at 15).
func ParseLight(s string) (Light, error) {
	f := strings.Fields(strings.ToLower(s))
	number := func(i int) float64 {
		v, err := strconv.ParseFloat(f[i], 64)
		if err != nil {
			return 0
		}
		return v
	}
	switch {
	case len(f) == 0:
		return Light{}, nil
	case len(f) == 2 && f[0] == "photothermal" && number(1) > 0 && number(1) <= maxExponent:
		return Light{Exponent: number(1)}, nil
	case len(f) == 6 && f[0] == "short" && f[1] == "days" && f[3] == "to" && f[5] == "h":
		if free, longest := number(2), number(4); free > 0 && free < longest && longest < 24 {
			return Light{Longest: longest, Free: free}, nil
		}
	}
	return Light{}, fmt.Errorf(`light %q is not understood; write "photothermal 2", "short days 13 to 15 h" or nothing`, s)
}

// String returns the words that ParseLight reads, for what it can return.
func (l Light) String() string {
	switch {
	case l.Longest > 0:
		return fmt.Sprintf("short days %g to %g h", l.Free, l.Longest)
	case l.Exponent != 0:
		return fmt.Sprintf("photothermal %g", l.Exponent)
	}
	return ""
}
