package records

import (
	"fmt"
	"slices"

	"bloomtide/ingest/weather"
)

// seasonApart is how far from the usual day of the year a bloom may lie, days,
// before it counts as a slip: no plant strays further, and the other
// hemisphere's season is 180 away. Our own choice.
const seasonApart = 100

// OffSeason splits observations of one stage of one plant into those that lie
// in its season and errors that name the others.
//
//	name   file, for messages
//	usual  day of the year on which it is expected; 0: the middle one of those seen
func OffSeason(name string, all []Observation, usual int) (in []Observation, bad []error) {
	if usual == 0 {
		if len(all) < 3 {
			return all, nil
		}
		usual = middleDay(all)
	}
	for _, o := range all {
		if apart(o.Till.DayOfYear(), usual) <= seasonApart {
			in = append(in, o)
			continue
		}
		bad = append(bad, &weather.SyntaxError{
			File: name, Line: o.Line, Column: o.Column, Value: o.Till.String(),
			What: fmt.Sprintf("%s, %s bloom %s is %d days from its season about day %d of the year", o.Plant, o.Stage, o.Till, apart(o.Till.DayOfYear(), usual), usual),
			Mend: "is it from the other hemisphere, or are day and month the wrong way round? correct the date or the sign of --lat; this line is left out",
		})
	}
	return in, bad
}

// apart is the distance of two days of the year around the ring, days.
func apart(a, b int) int {
	d := (a - b + 365) % 365
	return min(d, 365-d)
}

// middleDay is the day of the year of the observation that lies nearest to all
// others around the ring.
func middleDay(all []Observation) int {
	total := func(o Observation) int {
		sum := 0
		for _, p := range all {
			sum += apart(o.Till.DayOfYear(), p.Till.DayOfYear())
		}
		return sum
	}
	return slices.MinFunc(all, func(a, b Observation) int { return total(a) - total(b) }).Till.DayOfYear()
}
