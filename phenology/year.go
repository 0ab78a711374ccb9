package phenology

import (
	"fmt"
	"sort"
	"strconv"
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
//
// A plant that waits for light instead of a date has LightH: counting starts on
// the first day of the plant year that has so much daylight, so that one row
// fits places of many latitudes.
type Biofix struct {
	Month  time.Month
	Day    int
	LightH float64 // above 0: daylength that starts it, h; Month and Day do not matter
}

// In returns the biofix in plant year y at a latitude. A day that the month
// does not have becomes its last day; the zero Biofix is the year's start. Light
// that is never reached before midsummer gives the start of the next year.
func (b Biofix) In(latDeg float64, y int) weather.Date {
	if b.LightH > 0 {
		return b.lit(latDeg, y)
	}
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

// span is a plant year of a biofix: the days from the biofix up to the next one.
type span struct {
	from, to weather.Date
	lit      bool // there is light to start with
}

// span returns plant year y.
func (b Biofix) span(latDeg float64, y int) span {
	from, to := b.In(latDeg, y), b.In(latDeg, y+1)
	return span{from, to, b.LightH == 0 || from < YearStart(latDeg, y+1)}
}

// risingDays is how long days grow from the start of a plant year: to the
// solstice of either half of the earth.
const risingDays = 172

// lit returns the first day with enough light. From mid-winter to midsummer
// light only grows, so that it can be searched by halves.
func (b Biofix) lit(latDeg float64, y int) weather.Date {
	start := YearStart(latDeg, y)
	i := sort.Search(risingDays, func(i int) bool {
		return Daylength(latDeg, (start+dateOf(i)).DayOfYear(), TopOfDisc) >= b.LightH
	})
	if i == risingDays {
		return YearStart(latDeg, y+1)
	}
	return start + dateOf(i)
}

// ParseBiofix reads a biofix as forage tables write it: "Jan 1" or "Mar 15", or
// "light 11.5 h" for the first day with so much daylight.
func ParseBiofix(s string) (Biofix, error) {
	if f := strings.Fields(s); len(f) == 3 && f[0] == "light" && f[2] == "h" {
		if h, err := strconv.ParseFloat(f[1], 64); err == nil && h > 0 && h < 24 {
			return Biofix{LightH: h}, nil
		}
	}
	t, err := time.Parse("Jan 2", strings.TrimSpace(s))
	if err != nil {
		return Biofix{}, fmt.Errorf("biofix %q is not a month and a day such as \"Jan 1\" or \"Mar 15\", nor a daylength such as \"light 11.5 h\"", s)
	}
	return Biofix{Month: t.Month(), Day: t.Day()}, nil
}

// String returns the words that ParseBiofix reads, the year's start for the
// zero Biofix.
func (b Biofix) String() string {
	if b.LightH > 0 {
		return fmt.Sprintf("light %g h", b.LightH)
	}
	month := min(max(b.Month, northStart), time.December)
	return fmt.Sprintf("%s %d", month.String()[:3], max(b.Day, 1))
}
