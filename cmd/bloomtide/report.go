package main

import (
	"errors"
	"io"

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
	if _, screen := w.screen(); screen && o.output == "" {
		return &usageError{errors.New("a page is for a browser, not for this screen"), "write it into a file with --output plan.html, and open that"}
	}
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
	return w.deliver(o.output, func(to io.Writer) error {
		return report.HTML(to, f, report.HTMLOptions{Units: units})
	})
}
