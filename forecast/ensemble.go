package forecast

import (
	"fmt"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Member is one course of weather: observed up to the issue date, then as one
// past year went on.
type Member struct {
	Year   int // plant year whose weather follows the issue date
	Season phenology.Season
}

// Ensemble is all members with the issue date.
type Ensemble struct {
	Issue    weather.Date
	Observed int          // days of the present plant year that are observed
	Elapsed  int          // days of the present plant year before the issue date
	LastDay  weather.Date // last day with a usable observation before the issue date
	Year     int          // plant year of the issue date
	Members  []Member
	Skipped  []int // past years with too much missing to make a member
}

const (
	// maxMembers past years are used, the latest ones: the 30 years of a
	// climate normal (World Meteorological Organization practice, from memory).
	maxMembers = 30

	// minMembers below which odds mean nothing. Our own choice.
	minMembers = 2

	// leastOwn is the share of its own year that a member must have; a
	// neighbouring year fills the rest. Our own choice.
	leastOwn = 0.8

	// afterDays of the plant year after next are added, so that the stores of
	// its coming winter can be counted until the first income. Our own choice.
	afterDays = 150
)

// FewYearsError tells that a record holds too few past years for a forecast.
type FewYearsError struct {
	Station string
	Members int
	Issue   weather.Date
}

// Error says how many years there are and what would mend it.
func (e *FewYearsError) Error() string {
	return fmt.Sprintf("%s: only %d past years before %s can stand for the coming weather, at least %d are needed; give a longer record",
		e.Station, e.Members, e.Issue, minMembers)
}

// NewEnsemble splices each past year's weather, day by calendar day, behind
// what was observed in the present plant year up to the issue date. Nothing on
// or after the issue date is looked at. Each member runs to the end of the
// next plant year and a little over. The error is a *FewYearsError.
func NewEnsemble(s weather.Series, issue weather.Date) (Ensemble, error) {
	lat := s.Site.LatDeg()
	past := s.Slice(s.Start, issue)
	y := phenology.YearOf(lat, issue)
	e := Ensemble{Issue: issue, Year: y}
	e.count(past, phenology.YearStart(lat, y))
	for z := y - 1; z >= phenology.YearOf(lat, past.Start) && len(e.Members) < maxMembers; z-- {
		season, err := splice(past, y, z)
		if err != nil || !e.own(past, z) {
			e.Skipped = append(e.Skipped, z)
			continue
		}
		e.Members = append(e.Members, Member{Year: z, Season: season})
	}
	if len(e.Members) < minMembers {
		return e, &FewYearsError{Station: s.Site.ID, Members: len(e.Members), Issue: issue}
	}
	return e, nil
}

// count notes how much of the present year is observed and where the record
// ends.
func (e *Ensemble) count(past weather.Series, yearStart weather.Date) {
	e.Elapsed = int(e.Issue - yearStart)
	e.Observed = past.Usable(yearStart, e.Issue)
	for d := past.End() - 1; d >= past.Start; d-- {
		if past.At(d).Usable() {
			e.LastDay = d
			return
		}
	}
}

// own reports whether the year that follows the issue date would be past year
// z's own weather and not a neighbour's: a year that the record lacks is no
// member. Days after the record's last are no fault of the year.
func (e Ensemble) own(past weather.Series, z int) bool {
	from := e.Issue.AddYears(z - e.Year)
	to := min(from+365, e.LastDay+1)
	known := past.Usable(from, to)
	return known > 0 && float64(known) >= leastOwn*float64(to-from)
}

// splice builds the season of plant years y and y+1 as year z would continue
// it.
func splice(past weather.Series, y, z int) (phenology.Season, error) {
	lat := past.Site.LatDeg()
	from := phenology.YearStart(lat, y)
	to := phenology.YearStart(lat, y+2) + afterDays
	made := weather.Series{Site: past.Site, Start: from, Days: make([]weather.Day, to-from)}
	for d := from; d < to; d++ {
		made.Days[d-from] = memberDay(past, d, z-y)
	}
	return phenology.NewSeason(made, from, to)
}

// memberDay returns the observed day where there is one, else the same
// calendar day shift years away, or the nearest earlier year of the same
// member that the record still holds.
func memberDay(past weather.Series, d weather.Date, shift int) weather.Day {
	if day := past.At(d); day.Usable() {
		return day
	}
	const yearsInMember = 3 // parts of three plant years: this, next and the winter after
	for back := range yearsInMember {
		if day := past.At(d.AddYears(shift - back)); day.Usable() {
			return day
		}
	}
	return weather.Day{}
}
