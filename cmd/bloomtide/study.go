package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest"
	"bloomtide/ingest/format"
	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"
	"bloomtide/phenology/calibrate"

	"github.com/spf13/cobra"
)

// studyOptions are the options that calibrate and hindcast share and that are
// no settings.
type studyOptions struct {
	observations string
	site         string
	output       string
}

func (o *studyOptions) addFlags(c *cobra.Command) {
	config.AddFlags(c.Flags())
	c.Flags().StringVar(&o.observations, "observations", "", "your bloom dates: CSV with date,plant,stage or site_id,species,year,phase,date,doy")
	c.Flags().StringVar(&o.site, "site", "", "which place or site_id of the bloom dates to take, where there are several")
	c.Flags().StringVarP(&o.output, "output", "o", "", "write to this file instead of the screen")
}

// studyGroup is one stage of one plant with its years.
type studyGroup struct {
	plant string
	stage records.Stage
	table *config.Plant // row of the forage table; nil: none
	row   *calibrate.Row
	years []calibrate.Year
}

// study is a place with its weather and what was seen there.
type study struct {
	about  report.Study
	series weather.Series
	plants []config.Plant
	groups []studyGroup
}

// warn tells a doubt at once and keeps it for the outputs.
func (s *study) warn(w world, text string) {
	s.about.Warnings = append(s.about.Warnings, text)
	say{w.stderr}.warning("%s", text)
}

// newStudy reads weather, forage table and bloom dates. Without --observations
// there are no groups.
func (w world) newStudy(c *cobra.Command, o studyOptions) (*study, config.Settings, error) {
	set, err := w.settings(c)
	if err != nil {
		return nil, set, err
	}
	s, err := w.studyOf(set, o)
	return s, set, err
}

// studyOf is newStudy by settings that are known.
func (w world) studyOf(set config.Settings, o studyOptions) (*study, error) {
	s := &study{}
	var err error
	if s.plants, err = plants(set); err != nil {
		return nil, err
	}
	if err := w.studyWeather(s, o, set); err != nil {
		return nil, err
	}
	if o.observations == "" {
		return s, nil
	}
	return s, w.studyDates(s, o, set)
}

// studyWeather reads the record of the place, daily means included.
func (w world) studyWeather(s *study, o studyOptions, set config.Settings) error {
	if len(set.Weather) == 0 {
		return &usageError{errors.New("no weather is given"), "name the daily record of the place with --weather"}
	}
	set, from, err := siteBeside(o, set)
	if err != nil {
		return err
	}
	if from != "" {
		say{w.stderr}.hint(from)
	}
	set, notes, err := inCounty(set)
	if err != nil {
		return err
	}
	in, err := w.openInputs(set.Weather)
	if err != nil {
		return err
	}
	unit, err := format.ParseUnit(set.Unit)
	if err != nil {
		return &usageError{err, ""}
	}
	all, err := ingest.Collect(in.sources, ingest.Options{Unit: unit, Means: true, LeaveOut: len(in.sources) > 1, Decode: decodeParquet, Columns: format.Columns{
		Date: set.Columns.Date, TMin: set.Columns.TMin, TMax: set.Columns.TMax, Rain: set.Columns.Rain,
	}})
	if err != nil {
		return naming(set.Weather, err)
	}
	locateRecords(all, in.paths)
	record, left := choose(all, set)
	if s.series, err = atPlace(record.Series, set); err != nil {
		return besideHint(err, record.Report.Layouts)
	}
	if err := rightHemisphere(s.series); err != nil {
		return err
	}
	say{w.stderr}.tellBadLines(record.Report)
	for _, note := range slices.Concat(notes, left, doubts(record.Report)) {
		s.warn(w, note)
	}
	s.about.Place, s.about.LatDeg = s.series.Site.Name, s.series.Site.LatDeg()
	s.about.From, s.about.To = s.series.Start, s.series.End()-1
	return nil
}

// studyDates reads the bloom dates and joins them with the weather.
func (w world) studyDates(s *study, o studyOptions, set config.Settings) error {
	f, err := os.Open(o.observations)
	if err != nil {
		return &usageError{fmt.Errorf("read the bloom dates: %w", err), "name a CSV file with --observations"}
	}
	defer f.Close()
	obs, err := records.Read(f, records.Options{Name: o.observations, LatDeg: s.series.Site.LatDeg()})
	if err != nil {
		return err
	}
	for _, bad := range obs.Bad {
		s.warn(w, bad.Error())
	}
	seen, err := atSite(obs, o, set)
	if err != nil {
		return err
	}
	for _, g := range grouped(seen) {
		w.studyGroup(s, o.observations, g)
	}
	if len(s.groups) == 0 {
		return fmt.Errorf("%s: %w", o.observations, calibrate.ErrNoYears)
	}
	return nil
}

// atSite keeps the observations of one site: the one asked for, the one that
// the weather file is named after, or the only one.
func atSite(obs records.Observations, o studyOptions, set config.Settings) ([]records.Observation, error) {
	var sites []string
	for _, v := range obs.Seen {
		if !slices.Contains(sites, v.Place) {
			sites = append(sites, v.Place)
		}
	}
	want := o.site
	if want == "" && obs.SiteIDs && len(sites) > 1 {
		want = stem(set.Weather[0])
		if !slices.Contains(sites, want) {
			return nil, &usageError{fmt.Errorf("%s holds %d sites (%s)", o.observations, len(sites), several(sites)), "choose the one whose weather this is with --site"}
		}
	}
	if want == "" {
		return obs.Seen, nil
	}
	var out []records.Observation
	for _, v := range obs.Seen {
		if strings.EqualFold(v.Place, want) {
			out = append(out, v)
		}
	}
	if len(out) == 0 {
		return nil, &usageError{fmt.Errorf("%s has no dates of a site %q", o.observations, want), "the sites are " + several(sites)}
	}
	return out, nil
}

// grouped sorts observations by plant and stage, in the order of the file.
func grouped(all []records.Observation) [][]records.Observation {
	at := map[string]int{}
	var out [][]records.Observation
	for _, o := range all {
		key := plainName(o.Plant) + "\x00" + string(o.Stage)
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], o)
	}
	return out
}

// plainName is a name without capitals, hyphens and underscores.
func plainName(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(s))), " ")
}

// findRow returns the row of the forage table for a plant's name or taxon.
func findRow(plant string, table []config.Plant) *config.Plant {
	for i, p := range table {
		if plainName(p.Model.Plant) == plainName(plant) || plainName(p.Model.Taxon) == plainName(plant) {
			return &table[i]
		}
	}
	return nil
}

// studyGroup joins one stage of one plant with its weather, and leaves out what
// cannot be.
func (w world) studyGroup(s *study, file string, all []records.Observation) {
	g := studyGroup{plant: all[0].Plant, stage: all[0].Stage, table: findRow(all[0].Plant, s.plants)}
	usual := 0
	if g.table != nil {
		row := calibrate.NewRow(g.table.Model, string(g.stage), s.series.Site.LatDeg())
		g.row = &row
		usual = s.usualDay(row)
	}
	in, bad := records.OffSeason(file, all, usual)
	if g.row == nil || len(in) == 0 && len(all) > 2 {
		in, bad = records.OffSeason(file, all, 0)
	}
	for _, err := range bad {
		s.warn(w, err.Error())
	}
	years := map[int]int{}
	for _, o := range in {
		y, err := calibrate.NewYear(s.series, calibrate.Seen{Day: o.Day, Till: o.Till})
		if err != nil {
			s.warn(w, fmt.Sprintf("%s:%d:%d: %s, %s bloom %s: %v; give a longer record with --weather; this line is left out", file, o.Line, o.Column, o.Plant, o.Stage, o.Till, err))
			continue
		}
		if i, twice := years[y.Year]; twice {
			s.warn(w, fmt.Sprintf("%s:%d:%d: %s, %s bloom stands more than once for %d, at different places; their mean is used; choose a place with --site", file, o.Line, o.Column, o.Plant, o.Stage, y.Year))
			g.years[i].Seen = (g.years[i].Seen + y.Seen) / 2
			continue
		}
		years[y.Year] = len(g.years)
		g.years = append(g.years, y)
	}
	if len(g.years) > 0 {
		s.groups = append(s.groups, g)
	}
}

// usualDay returns the day of the year on which a table row puts the stage
// here, 0 where no year of the record reaches it.
func (s *study) usualDay(row calibrate.Row) int {
	m := calibrate.Model{Row: row, RowShare: 1}
	var days []float64
	for _, y := range s.wholeYears() {
		if d, ok := m.Season(y.Season); ok {
			days = append(days, d)
		}
	}
	if len(days) == 0 {
		return 0
	}
	slices.Sort(days)
	middle := days[len(days)/2]
	return (s.firstDay(2001) + weather.Date(math.Round(middle))).DayOfYear()
}
