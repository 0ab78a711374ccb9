package main

import (
	"bytes"
	"fmt"
	"html/template"
	"io"

	"bloomtide/forecast"
	"bloomtide/forecast/chart"
	"bloomtide/forecast/report"

	"github.com/spf13/cobra"
)

func newReport(w world) *cobra.Command {
	o := &planOptions{reminder: -1}
	c := &cobra.Command{
		Use:   "report",
		Short: "Write the plan as one page to read, print and hang in the shed",
		Long: `report writes one HTML file with the next work first, then the plan with its
reasons, drawings, sources and cautions. It needs no network and no script, and
opens from a USB stick. Without a configuration and without --weather it is of
an invented county.`,
		Example: `  bloomtide report --output plan.html
  bloomtide report --place Sarnholt > plan.html`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runReport(c, w, o) },
	}
	o.addFlags(c)
	return c
}

func runReport(c *cobra.Command, w world, o *planOptions) error {
	s, err := w.settings(c)
	if err != nil {
		return err
	}
	s.Format = "html" // one page is of one place
	jobs, err := w.jobs(s)
	if err != nil {
		return err
	}
	f, err := w.forecast(jobs[0])
	if err != nil {
		return err
	}
	units, err := report.ParseUnits(s.Units)
	if err != nil {
		return &usageError{err, ""}
	}
	figures, err := drawings(f, units)
	if err != nil {
		return err
	}
	return w.deliver(o.output, func(to io.Writer) error {
		return report.HTML(to, f, report.HTMLOptions{Units: units, Figures: figures})
	})
}

// drawings draws what a page shows.
func drawings(f forecast.Forecast, u report.Units) ([]report.Figure, error) {
	var out []report.Figure
	for i, c := range []struct {
		name string
		draw func(io.Writer, forecast.Forecast, chart.Options) error
	}{
		{"What blooms when", chart.Season}, {"What one hive gains a day", chart.Gain},
		{"Room for honey and the supers that make it", chart.Room}, {"Winter stores", chart.Stores},
	} {
		if f.Apiary.Relative && i > 0 && i < 3 {
			continue // amounts are not known
		}
		var b bytes.Buffer
		if err := c.draw(&b, f, chart.Options{ID: fmt.Sprintf("fig%d", i+1), US: u == report.US}); err != nil {
			return nil, err
		}
		out = append(out, report.Figure{Name: c.name, SVG: template.HTML(b.String())})
	}
	return out, nil
}
