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
	Making   Making
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

// NewEnsemble is NewEnsembleWith without any option.
func NewEnsemble(s weather.Series, issue weather.Date) (Ensemble, error) {
	return NewEnsembleWith(s, Options{Issue: issue})
}

// NewEnsembleWith splices each past year's weather, day by calendar day, behind
// what was observed in the present plant year up to the issue date and behind
// the outlook, where there is one. Nothing of the record on or after the issue
// date is looked at. Each member runs to the end of the next plant year and a
// little over. The error is a *FewYearsError.
func NewEnsembleWith(s weather.Series, o Options) (Ensemble, error) {
	lat := s.Site.LatDeg()
	p := splicer{past: s.Slice(s.Start, o.Issue)}
	y := phenology.YearOf(lat, o.Issue)
	e := Ensemble{Issue: o.Issue, Year: y}
	e.count(p.past, phenology.YearStart(lat, y))
	var doubt string
	if p.ahead, doubt = newForesight(o.Outlook, p.past, o.Issue); doubt != "" {
		e.Making.Doubts = append(e.Making.Doubts, doubt)
	}
	e.Making.Outlook = p.ahead.use
	if o.Trend {
		e.warm(p.past)
		p.kPerYear = e.Making.Trend.KPerYear
	}
	e.gather(p)
	if o.Like {
		e.like(p.past)
	}
	e.doubtOutlook(p)
	if len(e.Members) < minMembers {
		return e, &FewYearsError{Station: s.Site.ID, Members: len(e.Members), Issue: o.Issue}
	}
	return e, nil
}

// gather makes members of the latest past years that can be, latest first;
// those passed over are noted.
func (e *Ensemble) gather(p splicer) {
	for z := e.Year - 1; z >= phenology.YearOf(p.past.Site.LatDeg(), p.past.Start) && len(e.Members) < maxMembers; z-- {
		season, err := p.splice(e.Year, z)
		if err != nil || !e.own(p.past, z) {
			e.Skipped = append(e.Skipped, z)
			continue
		}
		e.Members = append(e.Members, Member{Year: z, Season: season})
	}
}

// doubtOutlook makes the members anew, each with its share of the doubt of the
// outlook.
func (e *Ensemble) doubtOutlook(p splicer) {
	if p.ahead.use.Ahead+p.ahead.use.Bridged == 0 {
		return
	}
	off := doubts(len(e.Members), outlookSeed)
	for i := range e.Members {
		p.z = off[i]
		if season, err := p.splice(e.Year, e.Members[i].Year); err == nil {
			e.Members[i].Season = season
		}
	}
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

// splicer makes members of what is known and what is foreseen.
type splicer struct {
	past     weather.Series
	ahead    foresight
	kPerYear float64 // by which past years are warmed
	z        float64 // of this member's doubt of the outlook
}

// splice builds the season of plant years y and y+1 as year z would continue
// it.
func (p splicer) splice(y, z int) (phenology.Season, error) {
	lat := p.past.Site.LatDeg()
	from := phenology.YearStart(lat, y)
	to := phenology.YearStart(lat, y+2) + afterDays
	made := weather.Series{Site: p.past.Site, Start: from, Days: make([]weather.Day, to-from)}
	for d := from; d < to; d++ {
		made.Days[d-from] = p.day(d, z-y)
	}
	return phenology.NewSeason(made, from, to)
}

// day returns the observed day where there is one, else the one foreseen, else
// the same calendar day shift years away, or the nearest earlier year of the
// same member that the record still holds.
func (p splicer) day(d weather.Date, shift int) weather.Day {
	if day := p.past.At(d); day.Usable() {
		return day
	}
	if day, ok := p.ahead.day(d, p.z); ok {
		return day
	}
	const yearsInMember = 3 // parts of three plant years: this, next and the winter after
	for back := range yearsInMember {
		if day := p.past.At(d.AddYears(shift - back)); day.Usable() {
			byK := weather.Celsius(p.kPerYear * float64(back-shift))
			day.Min, day.Max = day.Min+byK, day.Max+byK
			return day
		}
	}
	return weather.Day{}
}
