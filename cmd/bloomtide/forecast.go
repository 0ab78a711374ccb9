package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/forecast/report"
	"bloomtide/ingest/demo"
	"bloomtide/ingest/weather"

	"github.com/spf13/cobra"
)

// outputFormats are what --format takes.
func outputFormats() []string { return []string{"table", "csv", "json", "ical"} }

// runForecast is plan and bloom: settings, record, forecast, output.
func runForecast(c *cobra.Command, w world, o *planOptions, out writers) error {
	s, err := w.settings(c)
	if err != nil {
		return err
	}
	s.Format = cmp.Or(s.Format, "table")
	if !slices.Contains(outputFormats(), s.Format) {
		return &usageError{fmt.Errorf("unknown format %q", s.Format), "use --format table, csv, json or ical"}
	}
	fetched, err := w.refresh(c.Context(), s, o)
	if err != nil {
		return err
	}
	if o.update {
		s = w.withArchive(s)
	}
	jobs, err := w.jobs(s)
	if err != nil {
		for _, f := range fetched {
			say{w.stderr}.warning("%s", f)
		}
		return err
	}
	jobs[0].doubts = append(fetched, jobs[0].doubts...)
	forecasts := make([]forecast.Forecast, len(jobs))
	for i, j := range jobs {
		j.odds = o.odds
		if forecasts[i], err = w.forecast(j); err != nil {
			return err
		}
	}
	return w.print(forecasts, s, o, out)
}

// jobs are the places to forecast: the user's, or the invented counties where
// there is no record to read.
func (w world) jobs(s config.Settings) ([]job, error) {
	if dir, ok := w.ownArchive(s); ok {
		s.Archive = dir
	}
	if len(s.Weather) == 0 && s.Archive == "" {
		jobs, err := w.demoPlaces(s)
		if err == nil && s.Format != "table" && len(jobs) > 1 {
			jobs = jobs[len(jobs)-1:]
			say{w.stderr}.warning("no weather is given: this is %s, one of two invented counties; --place chooses the other", jobs[0].settings.Place)
		}
		return jobs, err
	}
	j, err := w.ownPlace(s)
	return []job{j}, err
}

// forecast runs the science for one place.
func (w world) forecast(j job) (forecast.Forecast, error) {
	apiary, err := w.apiary(j)
	if err != nil {
		return forecast.Forecast{}, err
	}
	o, open, err := w.options(j)
	if err != nil {
		return forecast.Forecast{}, err
	}
	f, err := forecast.RunWith(apiary, j.series, o)
	f.Warnings = slices.Concat(f.Warnings, open, j.doubts)
	return f, naming(j.settings.Weather, err)
}

// apiary joins the forage table with what grows at a place.
func (w world) apiary(j job) (forecast.Apiary, error) {
	table, err := plants(j.settings)
	if err != nil {
		return forecast.Apiary{}, err
	}
	if j.invented {
		j.settings.Stands = grown(j.settings.Stands, table)
	}
	a, err := j.settings.Apiary(table)
	if err != nil {
		return forecast.Apiary{}, err
	}
	if a.Setup.Log, err = hiveLog(j.settings, a.Setup, w.issue(j)); err != nil {
		return forecast.Apiary{}, err
	}
	a.Name, a.Invented = j.series.Site.Name, j.invented
	a.ID = report.Slug(a.Name)
	return a, nil
}

// issue is the issue date: the one asked for, the demo's own, or today.
func (w world) issue(j job) weather.Date {
	switch {
	case j.settings.IssueGiven:
		return j.settings.Issue
	case j.invented:
		return demo.Issue
	default:
		return weather.FromTime(w.now())
	}
}

// print writes the forecasts in the wanted form. Only tables hold more than
// one place.
func (w world) print(all []forecast.Forecast, s config.Settings, o *planOptions, out writers) error {
	units, err := report.ParseUnits(s.Units)
	if err != nil {
		return &usageError{err, ""}
	}
	f := all[0]
	switch s.Format {
	case "csv":
		return w.deliver(o.output, func(to io.Writer) error { return out.csv(to, f) })
	case "json":
		return w.deliver(o.output, func(to io.Writer) error { return out.json(to, f) })
	case "ical":
		return w.printCalendar(f, report.CalendarOptions{Units: units, Reminder: o.remind(s.Reminder)}, calendarFiles{o.output, s.Archive}, out)
	}
	look, err := w.look(units, *o)
	if err != nil {
		return err
	}
	return w.deliver(o.output, func(to io.Writer) error {
		for i, f := range all {
			if i > 0 {
				fmt.Fprint(to, "\n\n")
			}
			if err := out.table(to, f, look); err != nil {
				return err
			}
		}
		return nil
	})
}

// calendarFiles say where a calendar is kept between runs.
type calendarFiles struct{ output, archive string }

// printCalendar writes the calendar. The one of last time, in the output file
// or in the archive, tells which events have changed since.
func (w world) printCalendar(f forecast.Forecast, o report.CalendarOptions, at calendarFiles, out writers) error {
	kept := at.output
	if kept == "" && at.archive != "" {
		dir := filepath.Join(at.archive, "calendar")
		const private = 0o755
		if err := os.MkdirAll(dir, private); err != nil {
			return fmt.Errorf("keep the calendar: %w", err)
		}
		kept = filepath.Join(dir, f.Apiary.ID+"-"+out.what+".ics")
	}
	var err error
	if o.Previous, err = published(kept); err != nil {
		return err
	}
	write := func(to io.Writer) error { return out.calendar(to, f, o) }
	if at.output == "" && kept != "" {
		if err := w.deliver(kept, write); err != nil {
			return err
		}
	}
	return w.deliver(at.output, write)
}

// grown keeps the stands of the demo that the user's own forage table knows.
func grown(stands []config.StandSetting, table []config.Plant) []config.StandSetting {
	names := config.PlantNames(table)
	return slices.DeleteFunc(slices.Clone(stands), func(s config.StandSetting) bool { return !slices.Contains(names, s.Plant) })
}
