package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/forecast/chart"
	"bloomtide/forecast/report"

	"github.com/spf13/cobra"
)

type compareOptions struct {
	planOptions
	svg, axis string
	setUps    []string // names, or parts of them
	setups    string   // file of the table they stand in
}

func newCompare(w world) *cobra.Command {
	o := &compareOptions{planOptions: planOptions{reminder: -1}}
	c := &cobra.Command{
		Use:   "compare [CONFIG CONFIG …]",
		Short: "Set two to eight places, or hive set-ups, side by side and say what to do differently",
		Long: `compare forecasts each place of the configurations named and says in words how
their flows differ and what a keeper does differently, with the measures side by
side. Without configurations it compares the two invented counties.

With --set-up it compares hives instead: two to eight set-ups at each place,
each lived through all past years, and says which to take.`,
		Example: `  bloomtide compare
  bloomtide compare valley.yaml ridge.yaml --svg flows.svg --axis flow
  bloomtide compare --set-up all
  bloomtide compare valley.yaml --set-up "no visits" --set-up "2 supers"`,
		RunE: func(c *cobra.Command, args []string) error { return runCompare(c, args, w, o) },
	}
	o.addFlags(c)
	o.addChart(c)
	c.ValidArgsFunction = cobra.FixedCompletions([]cobra.Completion{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt)
	c.Flags().StringVar(&o.svg, "svg", "", "also draw the flows below each other into this SVG file")
	c.Flags().StringVar(&o.axis, "axis", "day", "time axis of the drawing: day of the year, or flow for days since the flow's start")
	c.Flags().StringArrayVar(&o.setUps, "set-up", nil, "compare hive set-ups: part of a name of the table of set-ups, or all; again for each")
	c.Flags().StringVar(&o.setups, "setups", "", "your own table of set-ups, as \"bloomtide trial --print-setups\" prints one")
	_ = c.RegisterFlagCompletionFunc("set-up", func(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
		names := []cobra.Completion{cobra.CompletionWithDesc("all", "every set-up of the table")}
		table, err := readSetUps(o.setups)
		for _, s := range table {
			names = append(names, s.Name)
		}
		if err != nil {
			return nil, cobra.ShellCompDirectiveError
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	})
	return c
}

func runCompare(c *cobra.Command, args []string, w world, o *compareOptions) error {
	axis, err := chart.ParseAxis(o.axis)
	if err != nil {
		return &usageError{fmt.Errorf("--axis: %w", err), ""}
	}
	if len(o.setUps) > 0 {
		return w.compareSetUps(c, args, o)
	}
	s, jobs, err := w.comparedPlaces(c, args)
	if err != nil {
		return err
	}
	var all []forecast.Forecast
	for _, j := range jobs {
		f, err := w.forecast(j)
		if err != nil {
			return err
		}
		all = append(all, f)
	}
	compared, err := forecast.Compare(all)
	if err != nil {
		return &usageError{err, "name one configuration for each place; bloomtide init writes one"}
	}
	if o.svg != "" {
		draw := func(to io.Writer) error {
			return chart.Aligned(to, compared, axis, chart.Options{US: strings.EqualFold(s.Units, "us")})
		}
		if err := w.deliver(o.svg, draw); err != nil {
			return err
		}
	}
	return w.printAs(s, o.planOptions, printed{
		what:  "a comparison",
		table: func(to io.Writer, look report.Options) error { return report.Compare(to, compared, look) },
		csv:   func(to io.Writer) error { return report.CompareCSV(to, compared) },
		json:  func(to io.Writer) error { return report.CompareJSON(to, compared) },
	})
}

// comparedPlaces are the places named, or both invented counties.
func (w world) comparedPlaces(c *cobra.Command, args []string) (config.Settings, []job, error) {
	if len(args) > 0 {
		return w.comparedJobs(c, args)
	}
	s, err := w.settings(c)
	if err != nil {
		return s, nil, err
	}
	s.Format = cmp.Or(s.Format, "table")
	if len(s.Weather) > 0 || s.Archive != "" {
		say{w.stderr}.hint("no configuration is named, so these are the two invented counties; name one for each of your places, or --set-up all to compare hives at yours")
	}
	both := s
	both.Place = ""
	jobs, err := w.demoPlaces(both)
	return s, jobs, err
}

// compareSetUps compares hive set-ups at every place.
func (w world) compareSetUps(c *cobra.Command, args []string, o *compareOptions) error {
	setups, err := o.chosen()
	if err != nil {
		return err
	}
	s, jobs, err := w.comparedJobs(c, args)
	if err != nil {
		return err
	}
	var all []forecast.SetUpComparison
	for _, j := range jobs {
		results, err := w.trial(j, setups)
		if err != nil {
			return err
		}
		compared, err := forecast.CompareSetUps(results)
		if err != nil {
			return &usageError{err, "give --set-up again for each, or --set-up all"}
		}
		all = append(all, compared)
	}
	issue := w.issue(jobs[0]).String()
	return w.printAs(s, o.planOptions, printed{
		what:  "a comparison",
		table: func(to io.Writer, look report.Options) error { return report.CompareSetUps(to, all, look) },
		csv:   func(to io.Writer) error { return report.CompareSetUpsCSV(to, all) },
		json:  func(to io.Writer) error { return report.CompareSetUpsJSON(to, issue, all) },
	})
}

// chosen returns the set-ups that are asked for, in the order asked.
func (o *compareOptions) chosen() ([]forecast.SetUp, error) {
	table, err := readSetUps(o.setups)
	if err != nil {
		return nil, err
	}
	var out []forecast.SetUp
	for _, word := range o.setUps {
		if strings.EqualFold(word, "all") {
			out = append(out, table...)
			continue
		}
		set, err := findSetUp(word, table)
		if err != nil {
			return nil, err
		}
		out = append(out, set)
	}
	return out, nil
}

// findSetUp returns the set-up of a name, or the only one whose name holds the
// word.
func findSetUp(word string, table []forecast.SetUp) (forecast.SetUp, error) {
	var near []forecast.SetUp
	var names []string
	for _, s := range table {
		names = append(names, fmt.Sprintf("%q", s.Name))
		if strings.EqualFold(s.Name, word) {
			return s, nil
		}
		if strings.Contains(strings.ToLower(s.Name), strings.ToLower(word)) {
			near = append(near, s)
		}
	}
	if len(near) == 1 {
		return near[0], nil
	}
	problem := "no set-up is called"
	if len(near) > 1 {
		problem = "more than one set-up is called"
	}
	return forecast.SetUp{}, &usageError{fmt.Errorf("--set-up: %s %q", problem, word), "the table has " + strings.Join(names, ", ")}
}

// placeOf reads the place of one configuration; flags given go over it.
func (w world) placeOf(name string, c *cobra.Command) (job, error) {
	content, err := os.ReadFile(name)
	if err != nil {
		return job{}, &usageError{err, "run \"bloomtide init FILE\" to write a configuration"}
	}
	s, err := config.Load(config.Options{File: name, Content: content, Environ: w.environ, Flags: c.Flags()})
	if err != nil {
		return job{}, err
	}
	if len(s.Weather) == 0 && s.Archive == "" {
		return job{}, &usageError{errors.New("the configuration names no weather file"), "set weather in it"}
	}
	w.fromItsFolder(c, name, &s)
	return w.ownPlace(s)
}
