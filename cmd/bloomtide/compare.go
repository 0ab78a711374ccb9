package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/forecast/chart"
	"bloomtide/forecast/report"

	"github.com/spf13/cobra"
)

type compareOptions struct {
	planOptions
	chart, axis string
}

func newCompare(w world) *cobra.Command {
	o := &compareOptions{planOptions: planOptions{reminder: -1}}
	c := &cobra.Command{
		Use:   "compare [CONFIG CONFIG …]",
		Short: "Set two to eight places side by side and say what to do differently",
		Long: `compare forecasts each place of the configurations named and says in words how
their flows differ and what a keeper does differently, with the measures side by
side. Without configurations it compares the two invented counties.`,
		Example: `  bloomtide compare
  bloomtide compare valley.yaml ridge.yaml --chart flows.svg`,
		RunE: func(c *cobra.Command, args []string) error { return runCompare(c, args, w, o) },
	}
	o.addFlags(c)
	c.Flags().StringVar(&o.chart, "chart", "", "also draw the flows below each other into this SVG file")
	c.Flags().StringVar(&o.axis, "axis", "day", "time axis of the chart: day of the year, or flow for days since the flow's start")
	return c
}

func runCompare(c *cobra.Command, args []string, w world, o *compareOptions) error {
	axis, err := chart.ParseAxis(o.axis)
	if err != nil {
		return &usageError{err, ""}
	}
	s, all, err := w.comparedPlaces(c, args)
	if err != nil {
		return err
	}
	compared, err := forecast.Compare(all)
	if err != nil {
		return &usageError{err, "name one configuration for each place; bloomtide init writes one"}
	}
	units, err := report.ParseUnits(s.Units)
	if err != nil {
		return &usageError{err, ""}
	}
	if o.chart != "" {
		draw := func(to io.Writer) error {
			return chart.Aligned(to, compared, axis, chart.Options{US: units == report.US})
		}
		if err := w.deliver(o.chart, draw); err != nil {
			return err
		}
	}
	look := w.terminal(units)
	if o.output != "" {
		look = report.Options{Units: units}
	}
	switch s.Format {
	case "table":
		return w.deliver(o.output, func(to io.Writer) error { return report.Compare(to, compared, look) })
	case "csv":
		return w.deliver(o.output, func(to io.Writer) error { return report.CompareCSV(to, compared) })
	case "json":
		return w.deliver(o.output, func(to io.Writer) error { return report.CompareJSON(to, compared) })
	}
	return &usageError{fmt.Errorf("a comparison has no format %q", s.Format), "use --format table, csv or json"}
}

// comparedPlaces forecasts every place named, or the invented counties.
func (w world) comparedPlaces(c *cobra.Command, args []string) (config.Settings, []forecast.Forecast, error) {
	s, err := w.settings(c)
	if err != nil {
		return s, nil, err
	}
	s.Format = cmp.Or(s.Format, "table")
	var jobs []job
	if len(args) == 0 {
		demo := s
		demo.Place = ""
		if jobs, err = w.demoPlaces(demo); err != nil {
			return s, nil, err
		}
	}
	for _, name := range args {
		j, err := w.placeOf(name, c)
		if err != nil {
			return s, nil, fmt.Errorf("%s: %w", name, err)
		}
		jobs = append(jobs, j)
	}
	var all []forecast.Forecast
	for _, j := range jobs {
		f, err := w.forecast(j)
		if err != nil {
			return s, nil, err
		}
		all = append(all, f)
	}
	return s, all, nil
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
	s.Weather = besideFile(name, s.Weather)
	return w.ownPlace(s)
}
