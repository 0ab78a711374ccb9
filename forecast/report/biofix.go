package report

import (
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// leadIn is the days before the plant year that a season of a fit starts with.
const leadIn = weather.Date(phenology.LeadIn)

// BiofixText returns a biofix, given in days after the start of the plant year,
// as a forage table writes it: by the northern year.
func BiofixText(days int) string {
	_, month, day := (weather.YearMonthDay(2001, 1, 1) + weather.Date(days)).YMD() // not a leap year
	return phenology.Biofix{Month: month, Day: day}.String()
}
