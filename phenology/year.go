package phenology

import (
	"fmt"
	"strings"
	"time"

	"bloomtide/ingest/weather"
)

// The plant year starts in mid-winter: on 1 January north of the equator and
// on 1 July south of it, half a year later. It is named by the calendar year
// in which it starts (common practice, no source).
const (
	northStart = time.January
	southStart = time.July
)

// southern reports whether seasons run half a year late.
func southern(latDeg float64) bool { return latDeg < 0 }

// YearStart returns the first day of plant year y at a latitude.
func YearStart(latDeg float64, y int) weather.Date {
	return Biofix{Month: northStart, Day: 1}.In(latDeg, y)
}

// YearOf returns the plant year that a date belongs to.
func YearOf(latDeg float64, d weather.Date) int {
	y := d.Year()
	if d < YearStart(latDeg, y) {
		return y - 1
	}
	return y
}

// Biofix is the day from which degree days are counted, written as a date of
// the northern year. South of the equator it falls six months later.
type Biofix struct {
	Month time.Month
	Day   int
}

// In returns the biofix in plant year y at a latitude. A day that the month
// does not have becomes its last day; the zero Biofix is the year's start.
func (b Biofix) In(latDeg float64, y int) weather.Date {
	month := max(b.Month, northStart)
	if southern(latDeg) {
		month += southStart - northStart
	}
	if month > time.December {
		month -= 12
		y++
	}
	return weather.YearMonthDay(y, month, b.Day)
}

// ParseBiofix reads a biofix as forage tables write it, "Jan 1" or "Mar 15".
func ParseBiofix(s string) (Biofix, error) {
	t, err := time.Parse("Jan 2", strings.TrimSpace(s))
	if err != nil {
		return Biofix{}, fmt.Errorf("biofix %q is not a month and a day such as \"Jan 1\" or \"Mar 15\"", s)
	}
	return Biofix{Month: t.Month(), Day: t.Day()}, nil
}

// String returns the words that ParseBiofix reads, the year's start for the
// zero Biofix.
func (b Biofix) String() string {
	month := min(max(b.Month, northStart), time.December)
	return fmt.Sprintf("%s %d", month.String()[:3], max(b.Day, 1))
}
