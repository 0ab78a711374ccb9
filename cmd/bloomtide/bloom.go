package main

import (
	"bloomtide/forecast/report"

	"github.com/spf13/cobra"
)

func newBloom(w world) *cobra.Command {
	o := &planOptions{}
	c := &cobra.Command{
		Use:   "bloom",
		Short: "Tell when each plant of the forage table blooms next, with odds",
		Long: `bloom forecasts first, full and end of bloom for every plant of the forage
table. Without a configuration and without --weather it runs on two invented
counties.`,
		Example: `  bloomtide bloom
  bloomtide bloom --weather daily.csv --lat 47.5 --forage mine.csv --format csv
  bloomtide bloom --weather daily.csv --lat 47.5 --by 2026-05-01 --by 2026-05-15`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			return runForecast(c, w, o, writers{
				what: "bloom", table: report.Bloom, csv: report.BloomCSV, json: report.BloomJSON, calendar: report.BloomCalendar,
			})
		},
	}
	o.addFlags(c)
	o.addUpdate(c)
	o.odds.addFlags(c)
	o.odds.addBy(c)
	return c
}
