package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/ingest"
	"bloomtide/ingest/fetch"
	"bloomtide/ingest/format"
	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
	"github.com/spf13/cobra"
)

// oddsOptions say what the odds are made of, beside past years.
type oddsOptions struct {
	outlook      string
	trend, like  bool
	observations string
	site         string
	by           []string
}

func (o *oddsOptions) addFlags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.outlook, "outlook", "", "daily forecast made on the issue date, any file that --weather reads; its first 10 days stand before the past years")
	f.BoolVar(&o.trend, "trend", false, "warm past years to this one by the record's own trend, which is stated")
	f.BoolVar(&o.like, "like", false, "use only the past years whose season so far was most like this one's")
	f.StringVar(&o.observations, "observations", "", "your bloom dates, as calibrate reads them: this year's count as seen, past ones are blended in where they foretell better")
	f.StringVar(&o.site, "site", "", "which place or site_id of the bloom dates to take, where there are several")
}

func (o *oddsOptions) addBy(c *cobra.Command) {
	c.Flags().StringArrayVar(&o.by, "by", nil, "tell the odds of first bloom by this date, YYYY-MM-DD; give it once for each (default 7, 14, 30 and 60 days ahead)")
}

// options gathers what a forecast of a job is made of, and the doubts that
// gathering it left.
func (w world) options(j job) (forecast.Options, []string, error) {
	o := forecast.Options{Issue: w.issue(j), Trend: j.odds.trend, Like: j.odds.like}
	var doubts []string
	var err error
	if o.By, err = j.odds.dates(o.Issue); err != nil {
		return o, nil, err
	}
	if o.Outlook, err = w.outlook(j, o.Issue); err != nil {
		return o, nil, err
	}
	if j.odds.observations != "" {
		if o.Seen, doubts, err = w.seen(j); err != nil {
			return o, nil, err
		}
	}
	if j.odds.outlook == "" && len(o.Outlook.Days.Days) > 0 {
		doubts = append(doubts, fetch.Attribution)
	}
	return o, doubts, nil
}

// dates reads the dates of --by: within the year that a forecast covers.
func (o oddsOptions) dates(issue weather.Date) ([]weather.Date, error) {
	const ahead, most = 365, 6 // days; columns of a table
	if len(o.by) > most {
		return nil, &usageError{fmt.Errorf("--by: %d dates are more than the %d that a line holds", len(o.by), most), "give fewer"}
	}
	var out []weather.Date
	for _, text := range o.by {
		d, err := weather.ParseDate(text)
		if err != nil {
			return nil, &usageError{fmt.Errorf("--by: %q is not a date", text), "write it as YYYY-MM-DD"}
		}
		if d < issue || d > issue+ahead {
			return nil, &usageError{fmt.Errorf("--by: %s is outside the year from the issue date %s", d, issue), fmt.Sprintf("give a date from %s to %s", issue, issue+ahead)}
		}
		out = append(out, d)
	}
	return out, nil
}

// outlook reads the outlook that is asked for, else the one in the archive if
// it was made by the issue date.
func (w world) outlook(j job, issue weather.Date) (forecast.Outlook, error) {
	if j.odds.outlook != "" {
		days, err := w.outlookFile(j.odds.outlook, j.settings)
		return forecast.Outlook{Days: days, Made: issue}, err
	}
	if j.settings.Archive == "" || j.invented || math.IsNaN(j.settings.Lat) || math.IsNaN(j.settings.Lon) {
		return forecast.Outlook{}, nil
	}
	name := fetch.OutlookName(orb.Point{j.settings.Lon, j.settings.Lat})
	path := filepath.Join(j.settings.Archive, downloadFolder, filepath.FromSlash(name))
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return forecast.Outlook{}, nil
	}
	j.settings.Unit, j.settings.Columns = "", config.Columns{}
	days, err := w.outlookFile(path, j.settings)
	if err != nil {
		say{w.stderr}.warning("the outlook in the archive is not used: %v", err)
		return forecast.Outlook{}, nil
	}
	out := forecast.Outlook{Days: days, Made: days.End() - fetch.OutlookAhead}
	if out.Made > issue {
		return forecast.Outlook{}, nil
	}
	return out, nil
}

func (w world) outlookFile(path string, s config.Settings) (weather.Series, error) {
	f, err := os.Open(path)
	if err != nil {
		return weather.Series{}, &usageError{fmt.Errorf("read the outlook: %w", err), "name a file of daily temperatures with --outlook"}
	}
	defer f.Close()
	unit, err := format.ParseUnit(cmp.Or(s.Unit, "auto"))
	if err != nil {
		return weather.Series{}, &usageError{err, ""}
	}
	all, err := ingest.Collect([]ingest.Source{{Name: path, Reader: f}}, ingest.Options{
		Unit: unit, NoFill: true, MinDays: 1,
		Columns: format.Columns{Date: s.Columns.Date, TMin: s.Columns.TMin, TMax: s.Columns.TMax, Rain: s.Columns.Rain},
	})
	if err != nil {
		return weather.Series{}, err
	}
	if len(all) > 1 {
		return weather.Series{}, &usageError{fmt.Errorf("%s holds %d stations", path, len(all)), "an outlook is of one place: give a file with one"}
	}
	say{w.stderr}.tellBadLines(all[0].Report)
	return all[0].Series, nil
}

// seen reads the keeper's first blooms.
func (w world) seen(j job) ([]forecast.SeenBloom, []string, error) {
	name := j.odds.observations
	f, err := os.Open(name)
	if err != nil {
		return nil, nil, &usageError{fmt.Errorf("read the bloom dates: %w", err), "name a CSV file with --observations"}
	}
	defer f.Close()
	obs, err := records.Read(f, records.Options{Name: name, LatDeg: j.series.Site.LatDeg()})
	if err != nil {
		return nil, nil, err
	}
	table, err := plants(j.settings)
	if err != nil {
		return nil, nil, err
	}
	set := j.settings
	if len(set.Weather) == 0 {
		set.Weather = []string{set.Archive}
	}
	all, err := atSite(obs, studyOptions{observations: name, site: j.odds.site}, set)
	if err != nil {
		return nil, nil, err
	}
	for _, bad := range obs.Bad {
		say{w.stderr}.warning("%v", bad)
	}
	out, doubts := firstBlooms(name, all, table)
	return out, doubts, nil
}

// firstBlooms turns observations into first blooms of plants of the forage
// table, and says what is left out.
func firstBlooms(file string, all []records.Observation, table []config.Plant) (out []forecast.SeenBloom, doubts []string) {
	var strangers []string
	other := 0
	for _, g := range grouped(all) {
		row := findRow(g[0].Plant, table)
		switch {
		case g[0].Stage != records.First:
			other += len(g)
			continue
		case row == nil:
			strangers = append(strangers, g[0].Plant)
			continue
		}
		in, bad := records.OffSeason(file, g, 0)
		for _, err := range bad {
			doubts = append(doubts, err.Error())
		}
		for _, o := range in {
			out = append(out, forecast.SeenBloom{Plant: row.Model.Plant, Day: o.Day + (o.Till-o.Day)/2})
		}
	}
	if len(strangers) > 0 {
		doubts = append(doubts, fmt.Sprintf("bloom dates of plants that the forage table does not have are not used (%s); give them a row with --forage", several(strangers)))
	}
	if other > 0 {
		doubts = append(doubts, fmt.Sprintf("%d bloom dates of other stages than the first are not used here; calibrate fits them", other))
	}
	return out, doubts
}
