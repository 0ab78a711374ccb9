package main

import (
	"strings"

	"bloomtide/ingest/county"

	"github.com/spf13/cobra"
)

// completeValues lets the shell complete what an option may be, beside its
// name.
func completeValues(all ...*cobra.Command) {
	for _, c := range all {
		words := map[string][]cobra.Completion{
			"format": {cobra.CompletionWithDesc("table", "for people"), cobra.CompletionWithDesc("csv", "for spreadsheets"),
				cobra.CompletionWithDesc("json", "for programs"), cobra.CompletionWithDesc("ical", "for the phone's calendar")},
			"units": {cobra.CompletionWithDesc("metric", "°C and kg"), cobra.CompletionWithDesc("us", "°F and lb")},
			"unit": {cobra.CompletionWithDesc("auto", "as the file says"), cobra.CompletionWithDesc("C", "°C"),
				cobra.CompletionWithDesc("F", "°F"), cobra.CompletionWithDesc("tenths", "tenths of °C")},
			"axis": {cobra.CompletionWithDesc("day", "day of the year"), cobra.CompletionWithDesc("flow", "days since the flow began")},
		}
		for flag, values := range words {
			if c.Flags().Lookup(flag) != nil {
				_ = c.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(values, cobra.ShellCompDirectiveNoFileComp))
			}
		}
		if c.Flags().Lookup("county") != nil {
			_ = c.RegisterFlagCompletionFunc("county", completeCounty)
		}
		for flag, endings := range map[string][]string{"config": {"yaml", "yml"}, "forage": {"csv"}, "cover": {"csv"}} {
			if c.Flags().Lookup(flag) != nil {
				_ = c.MarkFlagFilename(flag, endings...)
			}
		}
		if c.Flags().Lookup("archive") != nil {
			_ = c.MarkFlagDirname("archive")
		}
	}
}

// completeCounty offers the counties whose name begins as what was typed, or
// their five digits where digits were typed or nothing yet.
func completeCounty(_ *cobra.Command, _ []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
	atlas, err := county.Load()
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	digits := typed == "" || typed[0] >= '0' && typed[0] <= '9'
	var out []cobra.Completion
	for _, c := range atlas.Counties() {
		value, about := c.String(), c.FIPS
		if digits {
			value, about = about, value
		}
		if strings.HasPrefix(strings.ToLower(value), strings.ToLower(typed)) {
			out = append(out, cobra.CompletionWithDesc(value, about))
		}
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}
