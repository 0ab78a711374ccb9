package fetch

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
)

// Query says which stations a place needs. The zero value of a field but the
// point means the stated default.
type Query struct {
	Point    orb.Point // longitude, latitude, degrees
	Stations int       // stations wanted; default 3
	Years    int       // years with both TMAX and TMIN that a station must span; default 20
	WithinKm float64   // farthest station, km; default 100
	Year     int       // the present year: a station that ended before the last one has ended; 0: none has
}

// Defaults of a Query. Our own choices: three stations outlast the end of one;
// 20 years carry odds of one in ten; within 100 km the weather is much the
// same where the land is flat.
const (
	defaultStations = 3
	defaultYears    = 20
	defaultWithinKm = 100
)

func (q Query) withDefaults() Query {
	q.Stations = cmp.Or(q.Stations, defaultStations)
	q.Years = cmp.Or(q.Years, defaultYears)
	q.WithinKm = cmp.Or(q.WithinKm, float64(defaultWithinKm))
	return q
}

// Candidate is a station that may serve the place.
type Candidate struct {
	Site        weather.Site
	Km          float64 // great-circle distance from the place
	First, Last int     // first and last calendar year with both TMAX and TMIN
	Ended       bool    // no longer reports
}

// Years counts the calendar years from the first to the last.
func (c Candidate) Years() int { return c.Last - c.First + 1 }

// NoStationError tells that no station serves the place.
type NoStationError struct {
	Query   Query      // with defaults put in
	Nearest *Candidate // the nearest with both elements, whatever its years; nil for none
}

// Error says what was asked for, what comes nearest, and what would help.
func (e *NoStationError) Error() string {
	s := fmt.Sprintf("no station within %g km of latitude %g, longitude %g has %d years of TMAX and TMIN",
		e.Query.WithinKm, e.Query.Point.Lat(), e.Query.Point.Lon(), e.Query.Years)
	if n := e.Nearest; n != nil {
		s += fmt.Sprintf("; the nearest with both is %s %s, %.0f km away, %d to %d", n.Site.ID, n.Site.Name, n.Km, n.First, n.Last)
	}
	return s + "; look farther with --within, or ask for fewer --years"
}

// mostBadLists is the share of bad lines beyond which a list is not what it
// seems. Our own choice.
const mostBadLists = 0.05

// Choose returns the stations that may serve a place, those that still report
// before those that have ended, the nearest first in each; of two equally near
// the one with the lower identifier. Bad lines are passed over. The error is a
// *NoStationError where none is left.
func Choose(stations, inventory io.Reader, q Query) ([]Candidate, error) {
	q = q.withDefaults()
	near, err := nearSites(stations, q)
	if err != nil {
		return nil, err
	}
	if err := addYears(inventory, near); err != nil {
		return nil, err
	}
	var fit []Candidate
	var nearest *Candidate
	for _, n := range near {
		c, ok := n.candidate(q)
		if !ok {
			continue
		}
		if nearest == nil || closer(c, *nearest) < 0 {
			nearest = &c
		}
		if c.Years() >= q.Years && c.Km <= q.WithinKm {
			fit = append(fit, c)
		}
	}
	if len(fit) == 0 {
		return nil, &NoStationError{Query: q, Nearest: nearest}
	}
	slices.SortFunc(fit, func(a, b Candidate) int {
		if a.Ended != b.Ended {
			return cmp.Compare(boolRank(a.Ended), boolRank(b.Ended))
		}
		return closer(a, b)
	})
	return fit, nil
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

func closer(a, b Candidate) int {
	return cmp.Or(cmp.Compare(a.Km, b.Km), cmp.Compare(a.Site.ID, b.Site.ID))
}

// years are the spans of a station's extremes.
type years struct {
	site     weather.Site
	km       float64
	max, min Span
}

// lookoutTimes is how many times farther than asked for stations are looked
// at, to name the nearest where none is near enough.
const lookoutTimes = 5

// nearSites reads the stations around the place.
func nearSites(r io.Reader, q Query) (map[string]*years, error) {
	out := map[string]*years{}
	var n counted
	for s, err := range ReadStations(r, "station list") {
		if err := n.add(err); err != nil {
			return nil, err
		}
		if err != nil {
			continue
		}
		if math.Abs(s.LatDeg()-q.Point.Lat()) > lookoutTimes*q.WithinKm/kmPerDegree {
			continue
		}
		if km := geo.DistanceHaversine(s.Point, q.Point) / 1000; km <= lookoutTimes*q.WithinKm {
			out[s.ID] = &years{site: s, km: km}
		}
	}
	return out, n.end("station list")
}

// kmPerDegree is a little less than a degree of latitude, km, so that nothing
// near is passed over: 111 on the globe.
const kmPerDegree = 110

// addYears reads the spans of the given stations.
func addYears(r io.Reader, near map[string]*years) error {
	var n counted
	for s, err := range ReadInventory(r, "inventory") {
		if err := n.add(err); err != nil {
			return err
		}
		if err != nil {
			continue
		}
		y := near[s.ID]
		switch {
		case y == nil:
		case s.Element == weather.TMax:
			y.max = s
		case s.Element == weather.TMin:
			y.min = s
		}
	}
	return n.end("inventory")
}

// candidate returns the station; ok is false where the extremes share no year.
func (y years) candidate(q Query) (Candidate, bool) {
	c := Candidate{Site: y.site, Km: y.km, First: max(y.max.First, y.min.First), Last: min(y.max.Last, y.min.Last)}
	c.Ended = q.Year > 0 && c.Last < q.Year-1
	return c, y.max.ID != "" && y.min.ID != "" && c.Last >= c.First
}

// counted keeps count of the lines of a list.
type counted struct {
	lines, bad int
	first      error
}

// add counts a line; it returns an error that ends the reading.
func (n *counted) add(err error) error {
	n.lines++
	if err == nil {
		return nil
	}
	var bad *weather.SyntaxError
	if !errors.As(err, &bad) {
		return err
	}
	n.bad++
	if n.first == nil {
		n.first = err
	}
	return nil
}

// end refuses a list that is empty or of which too many lines are bad.
func (n *counted) end(name string) error {
	switch {
	case n.lines == 0:
		return fmt.Errorf("%s: no line; fetch it again", name)
	case float64(n.bad) > mostBadLists*float64(n.lines):
		return fmt.Errorf("%w (%d of %d lines are bad)", n.first, n.bad, n.lines)
	}
	return nil
}
