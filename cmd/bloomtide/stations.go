package main

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"bloomtide/ingest/archive"

	"github.com/spf13/cobra"
)

// stationsSchema names the form of the JSON of stations.
const stationsSchema = "bloomtide/stations/1"

func newStations(w world) *cobra.Command {
	var output string
	c := &cobra.Command{
		Use:   "stations",
		Short: "List the stations of your archive with how complete they are",
		Long: `stations lists what bloomtide ingest has kept: each station with its position,
its first and last day, the share of days with both extremes, and how many
values their publishers or checks rejected. It reads every file, so a damaged
one is found and named.`,
		Example: `  bloomtide stations --archive records
  bloomtide stations --format csv > stations.csv`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runStations(c, w, output) },
	}
	sharedFlags(c, "archive", "config")
	c.Flags().String("format", "", "table, csv or json (default table)")
	c.Flags().StringVarP(&output, "output", "o", "", "write to this file instead of the screen")
	return c
}

func runStations(c *cobra.Command, w world, output string) error {
	s, err := w.settings(c)
	if err != nil {
		return err
	}
	write, known := map[string]func(io.Writer, []archive.Summary) error{
		"table": stationsTable, "csv": stationsCSV, "json": stationsJSON,
	}[s.Format]
	if !known {
		return &usageError{fmt.Errorf("stations cannot write %q", s.Format), "use --format table, csv or json"}
	}
	dir, err := w.recordsIn(s.Archive)
	if err != nil {
		return err
	}
	kept, err := archive.Open(dir)
	if err != nil {
		return err
	}
	var all []archive.Summary
	var faults []error
	for x, err := range kept.Checks() {
		if err != nil {
			faults = append(faults, err)
			continue
		}
		all = append(all, x)
	}
	if len(all)+len(faults) == 0 {
		say{w.stderr}.hint("the archive " + dir + " holds no station; add some with \"bloomtide ingest FILE...\"")
	}
	return errors.Join(append([]error{w.deliver(output, func(to io.Writer) error { return write(to, all) })}, faults...)...)
}

// completeness is the share of days that can be used, %.
func completeness(x archive.Summary) float64 {
	return math.Floor(1000*float64(x.Usable)/float64(x.Days())) / 10 // 100 % means every day
}

func stationsTable(to io.Writer, all []archive.Summary) error {
	if len(all) == 0 {
		return nil
	}
	if _, err := fmt.Fprintf(to, "%-12s %-14s %6s %7s %4s %-10s %-10s %5s %4s\n",
		"station", "name", "lat", "lon", "m", "first", "last", "%", "rej."); err != nil {
		return err
	}
	for _, x := range all {
		name := printable(x.Site.Name)
		if r := []rune(name); len(r) > 14 {
			name = string(r[:13]) + "…"
		}
		if _, err := fmt.Fprintf(to, "%-12s %-14s %6s %7s %4s %s %s %5.1f %4d\n", printable(x.Site.ID), name,
			rounded(x.Site.LatDeg(), 2), rounded(x.Site.Point.Lon(), 2), rounded(x.Site.ElevM, 0),
			x.First, x.Last, completeness(x), x.Rejected); err != nil {
			return err
		}
	}
	return nil
}

// rounded writes a number, - for one that is not known.
func rounded(v float64, decimals int) string {
	if math.IsNaN(v) {
		return "-"
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

func stationsCSV(to io.Writer, all []archive.Summary) error {
	w := csv.NewWriter(to)
	rows := [][]string{{
		"station", "name", "latitude_deg", "longitude_deg", "elevation_m", "first_date", "last_date",
		"days", "usable_days", "complete_percent", "estimated_days", "rejected_values", "rain_days", "wind_days",
	}}
	known := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	for _, x := range all {
		rows = append(rows, []string{
			noFormula(x.Site.ID), noFormula(x.Site.Name), known(x.Site.LatDeg()), known(x.Site.Point.Lon()), known(x.Site.ElevM),
			x.First.String(), x.Last.String(), strconv.Itoa(x.Days()), strconv.Itoa(x.Usable),
			strconv.FormatFloat(completeness(x), 'f', 1, 64), strconv.Itoa(x.Estimated), strconv.Itoa(x.Rejected), strconv.Itoa(x.Rain),
			strconv.Itoa(x.Wind),
		})
	}
	return w.WriteAll(rows)
}

// noFormula keeps a text from a file from being run by a spreadsheet.
func noFormula(text string) string {
	text = printable(text)
	if text != "" {
		switch text[0] {
		case '=', '+', '-', '@':
			return "'" + text
		}
	}
	return text
}

// keptJSON is a station of the archive in JSON.
type keptJSON struct {
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	Lat       *float64 `json:"latitude_deg"`
	Lon       *float64 `json:"longitude_deg"`
	Elev      *float64 `json:"elevation_m"`
	First     string   `json:"first_date"`
	Last      string   `json:"last_date"`
	Days      int      `json:"days"`
	Usable    int      `json:"usable_days"`
	Complete  float64  `json:"complete_percent"`
	Estimated int      `json:"estimated_days"`
	Rejected  int      `json:"rejected_values"`
	Rain      int      `json:"rain_days"`
	Wind      int      `json:"wind_days"`
}

func stationsJSON(to io.Writer, all []archive.Summary) error {
	known := func(v float64) *float64 {
		if math.IsNaN(v) {
			return nil
		}
		return &v
	}
	rows := make([]keptJSON, len(all))
	for i, x := range all {
		rows[i] = keptJSON{
			x.Site.ID, x.Site.Name, known(x.Site.LatDeg()), known(x.Site.Point.Lon()), known(x.Site.ElevM),
			x.First.String(), x.Last.String(), x.Days(), x.Usable, completeness(x), x.Estimated, x.Rejected, x.Rain, x.Wind,
		}
	}
	e := json.NewEncoder(to)
	e.SetIndent("", "  ")
	return e.Encode(struct {
		Schema   string     `json:"schema"`
		Stations []keptJSON `json:"stations"`
	}{stationsSchema, rows})
}
