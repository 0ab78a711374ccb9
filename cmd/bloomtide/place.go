package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"unicode"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest"
	"bloomtide/ingest/demo"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
)

// job is one place to forecast.
type job struct {
	settings config.Settings
	series   weather.Series
	invented bool
	doubts   []string // what reading the record left open
	odds     oddsOptions
}

// ownPlace reads the record of the user's own place.
func (w world) ownPlace(s config.Settings) (job, error) {
	s, err := covered(s)
	if err != nil {
		return job{}, err
	}
	at, err := locate(s)
	if err != nil {
		return job{}, err
	}
	s = at.settings
	records, err := w.collected(s, 0)
	if err != nil {
		return job{}, err
	}
	units, err := report.ParseUnits(s.Units)
	if err != nil {
		return job{}, &usageError{err, ""}
	}
	return w.fromStations(tended(candidates(records, s), ingest.TendOptions{UndoShift: s.UndoShift}), at, units)
}

// fromStations makes the record of the place: from the stations about it where
// their and its position are known, unless one is named, else from one.
func (w world) fromStations(all []ingest.Tended, at placed, units report.Units) (job, error) {
	records := make([]ingest.Record, len(all))
	for i, t := range all {
		records[i] = t.Record
	}
	if at.samples != nil && named(records, at.settings) < 0 {
		if series, notes, ok := bring(all, at, units); ok {
			main := slices.IndexFunc(records, func(r ingest.Record) bool { return r.Series.Site.ID == series.Site.ID })
			say{w.stderr}.tellBadLines(records[main].Report)
			return job{settings: at.settings, series: series, doubts: slices.Concat(
				at.notes, notes, distant(series.Site, series.Sources[:1], units), checkNotes(all, series.Sources), doubts(records[main].Report))}, nil
		}
	}
	record, left := choose(records, at.settings)
	series, err := atPlace(record.Series, at.settings)
	if err != nil {
		return job{}, besideHint(err, record.Report.Layouts)
	}
	say{w.stderr}.tellBadLines(record.Report)
	return job{settings: at.settings, series: series, doubts: slices.Concat(
		at.notes, left, distant(series.Site, series.Sources, units), high(series.Site, record.Series.Site, units), checkNotes(all, series.Sources), doubts(record.Report))}, nil
}

// choose picks the station that is named like the place, else the closest to
// it, else the first, which is the longest.
func choose(records []ingest.Record, s config.Settings) (ingest.Record, []string) {
	if len(records) == 1 {
		return records[0], nil
	}
	place := orb.Point{s.Lon, s.Lat}
	rank := func(r ingest.Record) float64 {
		if s.Place != "" && strings.Contains(strings.ToLower(stationName(r.Series.Site)), strings.ToLower(s.Place)) {
			return -1
		}
		return away(r.Series.Site, place)
	}
	best := slices.MinFunc(records, func(a, b ingest.Record) int { return cmp.Compare(rank(a), rank(b)) })
	names := make([]string, len(records))
	for i, r := range records {
		names[i] = stationName(r.Series.Site)
	}
	return best, []string{fmt.Sprintf("%d stations were read (%s); the plan uses %s; name another with --place",
		len(records), several(names), stationName(best.Series.Site))}
}

// several joins names, the first few of many.
func several(names []string) string {
	const most = 5
	if len(names) > most {
		return strings.Join(names[:most], "; ") + fmt.Sprintf("; and %d more", len(names)-most)
	}
	return strings.Join(names, "; ")
}

// away returns the distance to the place, m, +Inf where a position is unknown.
func away(s weather.Site, place orb.Point) float64 {
	d := geo.Distance(s.Point, place)
	if math.IsNaN(d) {
		return math.Inf(1)
	}
	return d
}

func stationName(s weather.Site) string {
	if s.Name == s.ID {
		return s.ID
	}
	return strings.TrimSpace(s.ID + " " + s.Name)
}

// atPlace moves the record to the user's place: the settings say where that
// is, else the station itself.
func atPlace(s weather.Series, set config.Settings) (weather.Series, error) {
	station := s.Site
	s.Sources = []weather.Site{station}
	if !math.IsNaN(set.Lat) {
		s.Site.Point[1] = set.Lat
		s.Site.Point[0] = set.Lon
	}
	if math.IsNaN(s.Site.LatDeg()) {
		return s, &usageError{errors.New("the latitude of the place is not known"), "the weather file does not tell it; give --lat, north positive, and --lon"}
	}
	if !math.IsNaN(set.ElevationM) {
		s.Site.ElevM = set.ElevationM
	}
	s.Site.Name = cmp.Or(printable(set.Place), printable(station.Name), station.ID)
	return s, nil
}

// printable turns control characters, which could steer the reader's terminal,
// into blanks.
func printable(name string) string {
	if plain(name) {
		return name
	}
	return strings.Join(strings.FieldsFunc(name, func(r rune) bool { return unicode.IsControl(r) || unicode.IsSpace(r) }), " ")
}

// plain reports whether printable leaves a name as it is, as it does most.
func plain(name string) bool {
	before := byte(' ')
	for i := range len(name) {
		c := name[i]
		if c < ' ' || c > '~' || c == ' ' && before == ' ' {
			return false
		}
		before = c
	}
	return before != ' ' || name == ""
}

// demoPlaces are the two invented counties, or the one that is asked for.
func (w world) demoPlaces(s config.Settings) ([]job, error) {
	var out []job
	for _, c := range demo.Counties() {
		if s.Place != "" && !strings.Contains(strings.ToLower(c.Name), strings.ToLower(s.Place)) {
			continue
		}
		j, err := demoPlace(c, s)
		if err != nil {
			return nil, err
		}
		out = append(out, j)
	}
	if len(out) == 0 {
		return nil, &usageError{fmt.Errorf("no weather is given for %q, and no invented county of the demo is called so", s.Place),
			"give --weather FILE for a real place, or --place Sarnholt or --place Quillmarsh for the demo"}
	}
	return out, nil
}

func demoPlace(c demo.County, asked config.Settings) (job, error) {
	set, err := config.Load(config.Options{File: c.ID + ".yaml", Content: demoConfig(c.ID)})
	if err != nil {
		return job{}, err
	}
	set.Units, set.Format, set.Archive, set.Forage = asked.Units, asked.Format, asked.Archive, asked.Forage
	set.HiveLog, set.Cover = asked.HiveLog, asked.Cover
	if set, err = covered(set); err != nil {
		return job{}, err
	}
	set.Retune(asked)
	if asked.IssueGiven {
		set.Issue, set.IssueGiven = asked.Issue, true
	}
	name, content, err := demo.File(c.ID)
	if err != nil {
		return job{}, err
	}
	records, err := ingest.Collect([]ingest.Source{{Name: name, Reader: bytes.NewReader(content)}}, ingest.Options{})
	if err != nil {
		return job{}, err
	}
	series, err := atPlace(records[0].Series, set)
	series.Sources = nil
	return job{settings: set, series: series, invented: true}, err
}

// plants reads the forage table: the user's own or the one built in.
func plants(s config.Settings) ([]config.Plant, error) {
	if s.Forage == "" {
		return config.ReadForage("forage.csv", bytes.NewReader(config.ForageCSV()))
	}
	f, err := os.Open(s.Forage)
	if err != nil {
		return nil, &usageError{fmt.Errorf("read the forage table: %w", err), "run \"bloomtide forage\" to print one"}
	}
	defer f.Close()
	return config.ReadForage(s.Forage, f)
}
