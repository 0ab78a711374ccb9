package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/phenology/calibrate"

	"github.com/spf13/cobra"
)

type calibrateOptions struct {
	studyOptions
	rows  string
	sites string
	few   int
}

func newCalibrate(w world) *cobra.Command {
	o := &calibrateOptions{}
	c := &cobra.Command{
		Use:   "calibrate",
		Short: "Fit bloom models to the dates you have seen, and say how far off they are",
		Long: `calibrate reads your bloom dates and the daily record of the place, fits each
plant by every model that the years can carry, and tells by how many days each
misses a year that it has not seen. One, two or three years already move the
row of the forage table; from eight years on all models compete, and where none
beats the mean date, the mean date stands.

Dates are CSV with the columns date,plant,stage and, if you like, place,note.
Stages are first, full and end; write no and yes for days on which you looked.
The form site_id,species,year,phase,date,doy of shared records is read too.
A record of daily means alone will do. --rows writes a forage table with the
fitted rows in it, to be given to plan and bloom with --forage.

With --sites, dates of many places are fitted at once: the sites' CSV has the
columns site_id,lat, --weather is a folder with a file SITE_ID.csv for each, and
a plant seen at several sites gets one regional fit besides.`,
		Example: `  bloomtide calibrate --observations bloom.csv --weather daily.csv --lat 47.5
  bloomtide calibrate --observations bloom.csv --weather daily.csv --lat 47.5 \
    --rows my-forage.csv
  bloomtide calibrate --observations bloom.csv --sites sites.csv \
    --weather daily --few-years 3`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runCalibrate(c, w, *o) },
	}
	o.addFlags(c)
	c.Flags().StringVar(&o.sites, "sites", "", "fit many places: CSV with site_id,lat; --weather is a folder of SITE_ID.csv")
	c.Flags().IntVar(&o.few, "few-years", 0, "with --sites, tell also how fits to so many years alone have done")
	c.Flags().StringVar(&o.rows, "rows", "", "write the forage table with the fitted rows to this file")
	return c
}

// studyFormats are what --format takes here.
func studyFormats() []string { return []string{"table", "csv", "json"} }

func checkStudyFormat(set config.Settings) (string, error) {
	f := cmp.Or(set.Format, "table")
	if !slices.Contains(studyFormats(), f) {
		return "", &usageError{fmt.Errorf("format %q does not suit this command", f), "use --format table, csv or json"}
	}
	return f, nil
}

func runCalibrate(c *cobra.Command, w world, o calibrateOptions) error {
	if o.observations == "" {
		return &usageError{errors.New("no bloom dates are given"), "name your CSV file with --observations"}
	}
	if o.sites != "" {
		return w.calibrateSites(c, o)
	}
	if o.few != 0 {
		return &usageError{errors.New("--few-years needs --sites"), "without it the table of models tells how your years have done"}
	}
	s, set, err := w.newStudy(c, o.studyOptions)
	if err != nil {
		return err
	}
	form, err := checkStudyFormat(set)
	if err != nil {
		return err
	}
	fits, err := s.fit(w)
	if err != nil {
		return err
	}
	if o.rows != "" {
		if err := w.deliver(o.rows, func(to io.Writer) error { return s.writeRows(to, set.Forage, fits) }); err != nil {
			return err
		}
	}
	return w.deliver(o.output, func(to io.Writer) error {
		switch form {
		case "csv":
			return report.CalibrateCSV(to, fits)
		case "json":
			return report.CalibrateJSON(to, s.about, fits)
		default:
			return report.CalibrateTable(to, s.about, fits)
		}
	})
}

// fit fits every group.
func (s *study) fit(w world) ([]report.StudyFit, error) {
	progress := w.newSteps("fitting", len(s.groups))
	defer progress.stop()
	var out []report.StudyFit
	for _, g := range s.groups {
		f, err := calibrate.New(g.years, calibrate.Options{Row: g.row})
		if err != nil {
			return nil, err
		}
		out = append(out, report.StudyFit{Plant: g.plant, Stage: string(g.stage), Fit: f})
		progress.add(1)
	}
	return out, nil
}
