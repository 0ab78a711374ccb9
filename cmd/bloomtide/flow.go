package main

import (
	"fmt"
	"io"
	"os"

	"bloomtide/config"
	"bloomtide/forecast"
	nectar "bloomtide/forecast/flow"
	"bloomtide/forecast/report"
	"bloomtide/ingest/records"

	"github.com/spf13/cobra"
)

type flowOptions struct {
	planOptions
	scale string
}

func newFlow(w world) *cobra.Command {
	o := &flowOptions{planOptions: planOptions{reminder: -1}}
	c := &cobra.Command{
		Use:   "flow",
		Short: "Measure the nectar flow, forecast and weighed side by side",
		Long: `flow prints start, peak, end, breaks, dearth and shape of each forecast nectar
flow, and of the flows on your own hive scale where --scale names its daily
weights: a CSV file with the columns date,kg and, if you like, handled, which
says yes where you added or took something. Changes that bees cannot make are
taken out.`,
		Example: `  bloomtide flow
  bloomtide flow --weather station.csv --scale hive-3.csv
  bloomtide flow --scale hive-3.csv --format csv`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runFlow(c, w, o) },
	}
	o.addFlags(c)
	c.Flags().StringVar(&o.scale, "scale", "", "daily weights of your own hive, CSV with the columns date,kg")
	return c
}

func runFlow(c *cobra.Command, w world, o *flowOptions) error {
	s, jobs, err := w.comparedJobs(c, nil)
	if err != nil {
		return err
	}
	weighed, err := o.weighed(s)
	if err != nil {
		return err
	}
	all := make([]forecast.Forecast, len(jobs))
	for i, j := range jobs {
		if all[i], err = w.forecast(j); err != nil {
			return err
		}
	}
	return w.printAs(s, o.planOptions, printed{
		what:  "a list of flows",
		table: func(to io.Writer, look report.Options) error { return report.FlowTable(to, all, weighed, look) },
		csv:   func(to io.Writer) error { return report.FlowCSV(to, all, weighed) },
		json:  func(to io.Writer) error { return report.FlowJSON(to, all, weighed) },
	})
}

// weighed reads and measures the keeper's own scale; nil for none.
func (o *flowOptions) weighed(s config.Settings) (*report.Weighed, error) {
	if o.scale == "" {
		return nil, nil
	}
	f, err := os.Open(o.scale)
	if err != nil {
		return nil, &usageError{fmt.Errorf("read the scale: %w", err), "name a CSV file with the columns date,kg"}
	}
	defer f.Close()
	weights, err := records.ReadScale(f, o.scale)
	if err != nil {
		return nil, err
	}
	readings := make([]nectar.Reading, len(weights))
	for i, x := range weights {
		readings[i] = nectar.Reading(x)
	}
	rules := s.Rules()
	gains := rules.Weighed(readings)
	flows := rules.Detect(gains.GainKg, gains.Start)
	return &report.Weighed{
		Name: o.scale, Gains: gains, Flows: flows, Dearths: rules.Dearths(gains.GainKg, gains.Start, flows),
	}, nil
}
