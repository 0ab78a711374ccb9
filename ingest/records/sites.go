package records

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"bloomtide/ingest/weather"
)

// Site is a place with dates and weather of its own.
type Site struct {
	ID             string
	LatDeg, LonDeg float64 // degrees, north and east positive; LonDeg NaN: not told
	Line           int     // of the file
}

const sitesMend = "write a first line site_id,lat and one line for each site below it"

// ReadSites reads a table of sites, CSV with the columns site_id and lat, and lon
// if it is known; other columns are passed over. The error joins one
// *weather.SyntaxError for each bad line.
func ReadSites(r io.Reader, name string) ([]Site, error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord, in.LazyQuotes, in.TrimLeadingSpace = -1, true, true
	header, err := in.Read()
	if err != nil {
		return nil, whole(Options{Name: name}, "no header", sitesMend)
	}
	at := map[string]int{}
	for i, h := range header {
		at[strings.ToLower(strings.Trim(h, " \ufeff"))] = i
	}
	for _, c := range []string{"site_id", "lat"} {
		if _, ok := at[c]; !ok {
			return nil, whole(Options{Name: name}, fmt.Sprintf("no column %q in the header %q", c, strings.Join(header, ",")), sitesMend)
		}
	}
	var out []Site
	var bad []error
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, unreadable(Options{Name: name}, err)
		}
		line, _ := in.FieldPos(0)
		s, err := site(row, at, line, name)
		if err == nil && slices.ContainsFunc(out, func(o Site) bool { return o.ID == s.ID }) {
			err = &weather.SyntaxError{File: name, Line: line, Column: at["site_id"] + 1, Value: s.ID, What: fmt.Sprintf("site %q stands twice", s.ID), Mend: "keep one line for each site"}
		}
		if err != nil {
			bad = append(bad, err)
			continue
		}
		out = append(out, s)
	}
	if len(out) == 0 && len(bad) == 0 {
		return nil, whole(Options{Name: name}, "holds no site", sitesMend)
	}
	return out, errors.Join(bad...)
}

// site reads one line.
func site(row []string, at map[string]int, line int, name string) (Site, error) {
	value := func(column string) string {
		if i, ok := at[column]; ok && i < len(row) {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	fault := func(column, what, mend string) error {
		return &weather.SyntaxError{File: name, Line: line, Column: at[column] + 1, Value: value(column), What: fmt.Sprintf("%s %q %s", column, value(column), what), Mend: mend}
	}
	s := Site{ID: value("site_id"), Line: line, LonDeg: math.NaN()}
	if s.ID == "" || strings.ContainsAny(s.ID, `/\`) {
		return s, fault("site_id", "is not the name of a site", "write the name of its weather file without .csv")
	}
	var err error
	if s.LatDeg, err = strconv.ParseFloat(value("lat"), 64); err != nil || !(math.Abs(s.LatDeg) <= 90) {
		return s, fault("lat", "is not a latitude", "write degrees, south negative, such as -36.5")
	}
	if value("lon") == "" {
		return s, nil
	}
	if s.LonDeg, err = strconv.ParseFloat(value("lon"), 64); err != nil || !(math.Abs(s.LonDeg) <= 180) {
		return s, fault("lon", "is not a longitude", "write degrees, west negative, or leave it empty")
	}
	return s, nil
}
