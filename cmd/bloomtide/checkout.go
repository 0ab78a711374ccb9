package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"bloomtide/ingest"
)

// checkSchema names the JSON document of check and its version.
const checkSchema = "bloomtide/check/1"

// mostListed is how many findings of one station the table lists; the other
// forms hold all of them.
const mostListed = 100

// checkTable writes the findings for a reader.
func checkTable(to io.Writer, all []checked) error {
	for i, c := range all {
		if i > 0 {
			fmt.Fprintln(to)
		}
		fmt.Fprintf(to, "%s: %s to %s, %d usable days, %d missing\n",
			printable(stationName(c.Series.Site)), c.Report.FirstDate, c.Report.LastDate, c.Report.Days, c.Report.Missing)
		if len(c.Neighbour) > 0 {
			fmt.Fprintf(to, "  compared with %s\n", printable(several(c.Neighbour)))
		}
		for k, f := range c.Checks.Findings {
			if k == mostListed {
				fmt.Fprintf(to, "  and %d more; --format csv lists them all\n", len(c.Checks.Findings)-mostListed)
				break
			}
			when := f.Date.String()
			if f.Through > f.Date {
				when += " to " + f.Through.String()
			}
			fmt.Fprintf(to, "  %s %s %.1f °C: %s\n    (%s) %s\n", when, f.Element, float64(f.Value), f.What, f.Check, f.Mend)
		}
		if s := ingest.Summary(c.Checks.Counts); s != "" {
			fmt.Fprintf(to, "  %d findings: %s\n  %d values rejected\n", len(c.Checks.Findings), s, c.Checks.Rejected)
		} else {
			fmt.Fprintln(to, "  nothing found")
		}
		for _, f := range c.fills {
			fmt.Fprintf(to, "  gap of %2d days filled from %-10s off by %.1f °C (minimum), %.1f °C (maximum)\n",
				f.gapDays, f.method, f.err.MinK, f.err.MaxK)
		}
	}
	return nil
}

// checkCSV writes one row a finding.
func checkCSV(to io.Writer, all []checked) error {
	w := csv.NewWriter(to)
	rows := [][]string{{"station", "date", "through", "element", "value_c", "check", "what", "mend", "rejected"}}
	for _, c := range all {
		for _, f := range c.Checks.Findings {
			rows = append(rows, []string{
				f.Station, f.Date.String(), f.Through.String(), f.Element.String(),
				strconv.FormatFloat(float64(f.Value), 'f', 1, 64), f.Check, f.What, f.Mend, strconv.FormatBool(f.Rejected),
			})
		}
	}
	return w.WriteAll(rows)
}

type checkDocument struct {
	Schema   string         `json:"schema"`
	Stations []checkStation `json:"stations"`
}

type checkStation struct {
	ID         string         `json:"id"`
	Name       string         `json:"name"`
	First      string         `json:"first_date"`
	Last       string         `json:"last_date"`
	Usable     int            `json:"usable_days"`
	Missing    int            `json:"missing_days"`
	Rejected   int            `json:"rejected_values"`
	Counts     map[string]int `json:"findings_by_check"`
	Neighbours []string       `json:"neighbours"`
	Findings   []checkFinding `json:"findings"`
	Fills      []checkFill    `json:"filling"`
}

type checkFinding struct {
	Date     string  `json:"date"`
	Through  string  `json:"through"`
	Element  string  `json:"element"`
	ValueC   float64 `json:"value_c"`
	Check    string  `json:"check"`
	What     string  `json:"what"`
	Mend     string  `json:"mend"`
	Rejected bool    `json:"rejected"`
}

type checkFill struct {
	Method  string  `json:"method"`
	GapDays int     `json:"gap_days"`
	MinK    float64 `json:"tmin_error_k"`
	MaxK    float64 `json:"tmax_error_k"`
	Values  int     `json:"values"`
}

// checkJSON writes everything as one document.
func checkJSON(to io.Writer, all []checked) error {
	d := checkDocument{Schema: checkSchema, Stations: []checkStation{}}
	hundredth := func(x float64) float64 { return math.Round(x*100) / 100 }
	for _, c := range all {
		s := checkStation{
			ID: c.Series.Site.ID, Name: c.Series.Site.Name,
			First: c.Report.FirstDate.String(), Last: c.Report.LastDate.String(), Usable: c.Report.Days, Missing: c.Report.Missing,
			Rejected: c.Checks.Rejected, Counts: c.Checks.Counts,
			Neighbours: append([]string{}, c.Neighbour...), Findings: []checkFinding{}, Fills: []checkFill{},
		}
		for _, f := range c.Checks.Findings {
			s.Findings = append(s.Findings, checkFinding{
				f.Date.String(), f.Through.String(), f.Element.String(), hundredth(float64(f.Value)), f.Check, f.What, f.Mend, f.Rejected,
			})
		}
		for _, f := range c.fills {
			s.Fills = append(s.Fills, checkFill{f.method, f.gapDays, hundredth(f.err.MinK), hundredth(f.err.MaxK), f.err.Values})
		}
		d.Stations = append(d.Stations, s)
	}
	e := json.NewEncoder(to)
	e.SetIndent("", "  ")
	return e.Encode(d)
}
