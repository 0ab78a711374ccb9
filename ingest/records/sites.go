package records

import (
	"errors"
	"io"
	"math"
)

// Site is a place at which bloom was seen.
type Site struct {
	ID     string
	Name   string  // may be empty
	LatDeg float64 // north positive
	LonDeg float64 // east positive; NaN: not told
	HighM  float64 // metres above sea level; NaN: not told
}

// The shore of the Dead Sea lies at -430 m, the highest summit at 8849 m; from
// memory, rounded outward.
const lowestM, highestM = -500, 9000

// ReadSites reads the list that goes with shared bloom records, a CSV file with
// the columns
//
//	site_id,lat[,lon][,alt_m][,name]
//
// and any others. The error is a *weather.SyntaxError, or what the reader
// returned.
func ReadSites(r io.Reader, name string) ([]Site, error) {
	s, err := openSheet(name, r, nil, []string{"site_id", "lat"})
	if err != nil {
		return nil, err
	}
	var out []Site
	for {
		if err := s.next(); errors.Is(err, io.EOF) {
			return out, nil
		} else if err != nil {
			return nil, err
		}
		site, err := s.site()
		if err != nil {
			return nil, err
		}
		out = append(out, site)
	}
}

// site reads the present line.
func (s *sheet) site() (site Site, err error) {
	site = Site{ID: s.value("site_id"), Name: s.value("name"), LonDeg: math.NaN(), HighM: math.NaN()}
	if site.ID == "" {
		return site, s.fault("site_id", "is empty", "name the site as the bloom dates do")
	}
	if site.LatDeg, err = s.number("lat", -90, 90, "give degrees, south negative"); err != nil {
		return site, err
	}
	if s.value("lon") != "" {
		if site.LonDeg, err = s.number("lon", -180, 180, "give degrees, west negative"); err != nil {
			return site, err
		}
	}
	if s.value("alt_m") != "" {
		site.HighM, err = s.number("alt_m", lowestM, highestM, "give metres above sea level")
	}
	return site, err
}
