package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"os"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/forecast/report"

	"github.com/spf13/cobra"
)

type trialOptions struct {
	planOptions
	setups string
	print  bool
}

func newTrial(w world) *cobra.Command {
	o := &trialOptions{planOptions: planOptions{reminder: -1}}
	c := &cobra.Command{
		Use:   "trial [CONFIG CONFIG …]",
		Short: "Try hive set-ups against each other at one place or several",
		Long: `trial lets a colony live through every past year's weather in each of several
hives, worked in several ways, and counts: how often honey fills the brood nest,
days of congestion, honey taken, openings, weight lifted, stores for the winter.
Without configurations it tries the two invented counties.`,
		Example: `  bloomtide trial
  bloomtide trial --print-setups > setups.csv
  bloomtide trial valley.yaml ridge.yaml --setups setups.csv --format json`,
		RunE: func(c *cobra.Command, args []string) error { return runTrial(c, args, w, o) },
	}
	o.addFlags(c)
	c.Flags().StringVar(&o.setups, "setups", "", "your own table of set-ups, as --print-setups prints one")
	c.Flags().BoolVar(&o.print, "print-setups", false, "print the table of set-ups, to read or to edit")
	return c
}

func runTrial(c *cobra.Command, args []string, w world, o *trialOptions) error {
	if o.print {
		_, err := w.stdout.Write(config.SetUpsCSV())
		return err
	}
	setups, err := readSetUps(o.setups)
	if err != nil {
		return err
	}
	s, jobs, err := w.comparedJobs(c, args)
	if err != nil {
		return err
	}
	var all []forecast.Result
	for _, j := range jobs {
		results, err := w.trial(j, setups)
		if err != nil {
			return err
		}
		all = append(all, results...)
	}
	issue := w.issue(jobs[0]).String()
	return w.printAs(s, o.planOptions, printed{
		what:  "a trial",
		table: func(to io.Writer, look report.Options) error { return report.Trial(to, all, look) },
		csv:   func(to io.Writer) error { return report.TrialCSV(to, all) },
		json:  func(to io.Writer) error { return report.TrialJSON(to, issue, all) },
	})
}

// readSetUps reads the keeper's set-ups, or those of the program.
func readSetUps(name string) ([]forecast.SetUp, error) {
	if name == "" {
		return config.ReadSetUps("setups.csv", bytes.NewReader(config.SetUpsCSV()))
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, &usageError{fmt.Errorf("read the set-ups: %w", err), "run \"bloomtide trial --print-setups\" to print a table to start from"}
	}
	defer f.Close()
	return config.ReadSetUps(name, f)
}

// comparedJobs are the places named, or the invented counties, or the one
// place of the settings.
func (w world) comparedJobs(c *cobra.Command, args []string) (config.Settings, []job, error) {
	s, err := w.settings(c)
	if err != nil {
		return s, nil, err
	}
	s.Format = cmp.Or(s.Format, "table")
	var jobs []job
	for _, name := range args {
		j, err := w.placeOf(name, c)
		if err != nil {
			return s, nil, fmt.Errorf("%s: %w", name, err)
		}
		jobs = append(jobs, j)
	}
	switch {
	case len(args) > 0:
		return s, jobs, nil
	case len(s.Weather) == 0 && s.Archive == "":
		jobs, err = w.demoPlaces(s)
		return s, jobs, err
	}
	j, err := w.ownPlace(s)
	return s, []job{j}, err
}

// trial plays the set-ups at one place.
func (w world) trial(j job, setups []forecast.SetUp) ([]forecast.Result, error) {
	apiary, err := w.apiary(j)
	if err != nil {
		return nil, err
	}
	results, err := forecast.Trial(apiary, j.series, w.issue(j), setups)
	return results, naming(j.settings.Weather, err)
}
