package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"path"
	"path/filepath"
	"strconv"
	"time"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest/fetch"
)

// fetchSchema names the form of fetch's JSON.
const fetchSchema = "bloomtide/fetch/1"

// fetchedJSON is what fetch prints with --format json.
type fetchedJSON struct {
	Schema   string        `json:"schema"`
	Lat      float64       `json:"lat"`
	Lon      float64       `json:"lon"`
	Folder   string        `json:"folder"`
	Bytes    int64         `json:"bytes_fetched"`
	Stations []stationJSON `json:"stations"`
	Outlook  *fileJSON     `json:"outlook,omitempty"`
	Notes    []string      `json:"notes"`
	Failures []string      `json:"failures"`
}

type stationJSON struct {
	ID         string   `json:"id"`
	Name       string   `json:"name"`
	Lat        float64  `json:"lat"`
	Lon        float64  `json:"lon"`
	ElevationM *float64 `json:"elevation_m"`
	Km         float64  `json:"distance_km"`
	First      int      `json:"first_year"`
	Last       int      `json:"last_year"`
	Reports    bool     `json:"reports"`
	fileJSON
}

type fileJSON struct {
	File    string `json:"file"`
	State   string `json:"state"`
	LastDay string `json:"last_day,omitempty"`
	Asked   string `json:"asked,omitempty"`
	Bytes   int64  `json:"bytes_fetched"`
	Resumed int64  `json:"bytes_resumed"`
	Size    int64  `json:"bytes"`
}

func printFetched(to io.Writer, s config.Settings, r fetch.Result) error {
	switch s.Format {
	case "json":
		return fetchedAsJSON(to, s, r)
	case "csv":
		return fetchedAsCSV(to, r)
	}
	return fetchedAsTable(to, s, r)
}

func fetchedFile(o fetch.Outcome) fileJSON {
	f := fileJSON{File: path.Join(downloadFolder, o.Name), State: string(o.State), LastDay: o.LastDay, Bytes: o.Bytes, Resumed: o.Resumed, Size: o.Size}
	if !o.Asked.IsZero() {
		f.Asked = o.Asked.Format(time.RFC3339)
	}
	return f
}

func fetchedAsJSON(to io.Writer, s config.Settings, r fetch.Result) error {
	out := fetchedJSON{Schema: fetchSchema, Lat: s.Lat, Lon: s.Lon, Folder: filepath.ToSlash(s.Archive), Bytes: r.Bytes,
		Stations: []stationJSON{}, Notes: append([]string{}, r.Notes...), Failures: []string{}}
	for _, st := range r.Stations {
		j := stationJSON{ID: st.Site.ID, Name: st.Site.Name, Lat: st.Site.LatDeg(), Lon: st.Site.Point.Lon(), Km: math.Round(10*st.Km) / 10,
			First: st.First, Last: st.Last, Reports: !st.Ended, fileJSON: fetchedFile(st.Outcome)}
		if !math.IsNaN(st.Site.ElevM) {
			j.ElevationM = &st.Site.ElevM
		}
		out.Stations = append(out.Stations, j)
	}
	if r.Outlook != nil {
		f := fetchedFile(*r.Outlook)
		out.Outlook = &f
	}
	for _, err := range r.Failed {
		out.Failures = append(out.Failures, err.Error())
	}
	e := json.NewEncoder(to)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

func fetchedAsCSV(to io.Writer, r fetch.Result) error {
	w := csv.NewWriter(to)
	rows := [][]string{{"station", "name", "distance_km", "elevation_m", "first_year", "last_year", "last_day", "state", "bytes_fetched", "file"}}
	for _, st := range r.Stations {
		elev := ""
		if !math.IsNaN(st.Site.ElevM) {
			elev = strconv.FormatFloat(st.Site.ElevM, 'f', 1, 64)
		}
		rows = append(rows, []string{st.Site.ID, st.Site.Name, strconv.FormatFloat(st.Km, 'f', 1, 64), elev, strconv.Itoa(st.First), strconv.Itoa(st.Last),
			st.LastDay, string(st.State), strconv.FormatInt(st.Bytes, 10), path.Join(downloadFolder, st.Outcome.Name)})
	}
	return w.WriteAll(rows)
}

// fetchedAsTable prints one line a station, 80 characters at most.
func fetchedAsTable(to io.Writer, s config.Settings, r fetch.Result) error {
	units, err := report.ParseUnits(s.Units)
	if err != nil {
		return &usageError{err, ""}
	}
	b := new(tableText)
	b.line("%-11s  %-17s %7s %8s %-9s  %-10s  %s", "Station", "Name", "Away", "Height", "Years", "Until", "State")
	for _, st := range r.Stations {
		height := "?"
		if !math.IsNaN(st.Site.ElevM) {
			height = heightText(units, st.Site.ElevM)
		}
		b.line("%-11s  %-17.17s %7s %8s %4d-%4d  %-10s  %s", st.Site.ID, printable(st.Site.Name), units.Distance(st.Km), height, st.First, st.Last, orDash(st.LastDay), st.State)
	}
	b.line("")
	b.line("%s came over the network; the records are in %s", megabytes(r.Bytes), filepath.Join(s.Archive, downloadFolder))
	for _, n := range r.Notes {
		b.line("Note: %s", n)
	}
	_, err = to.Write(b.text)
	return err
}

// heightText writes metres above sea level in the user's units.
func heightText(u report.Units, m float64) string {
	const perFoot = 0.3048 // m, exact since the international yard of 1959
	if u == report.US {
		return fmt.Sprintf("%.0f ft", m/perFoot)
	}
	return fmt.Sprintf("%.0f m", m)
}

// tableText gathers lines.
type tableText struct{ text []byte }

func (t *tableText) line(format string, args ...any) {
	t.text = append(fmt.Appendf(t.text, format, args...), '\n')
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}
