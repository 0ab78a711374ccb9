package main

import (
	"io"

	"bloomtide/forecast"
	"bloomtide/forecast/report"

	"github.com/spf13/cobra"
)

func newPlan(w world) *cobra.Command {
	o := &planOptions{}
	c := &cobra.Command{
		Use:   "plan",
		Short: "Plan the year at the hive: what to do when, with odds and reasons",
		Long: `plan forecasts bloom and nectar flow for the coming twelve months and turns
them into dated work at the hive. Without a configuration and without --weather
it runs on two invented counties. A screen that can shows the year week by week
in small bars; --chart never leaves them out.

A daily forecast, given with --outlook or fetched into the archive, stands
before the past years for ten days. The plan says how far off such forecasts
have been here, and what work hangs on figures that nobody has verified.`,
		Example: `  bloomtide plan
  bloomtide plan --weather station.csv.gz --lat 47.5 --issue 2026-03-15
  bloomtide plan --format ical --output hive.ics --reminder 2`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			return runForecast(c, w, o, writers{
				what: "plan", table: report.Plan, csv: report.PlanCSV, json: report.PlanJSON, calendar: report.PlanCalendar,
			})
		},
	}
	o.addFlags(c)
	o.addUpdate(c)
	o.odds.addFlags(c)
	o.addChart(c)
	return c
}

// writers are the outputs of one command.
type writers struct {
	what     string
	table    func(io.Writer, forecast.Forecast, report.Options) error
	csv      func(io.Writer, forecast.Forecast) error
	json     func(io.Writer, forecast.Forecast) error
	calendar func(io.Writer, forecast.Forecast, report.CalendarOptions) error
}
