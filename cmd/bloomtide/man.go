package main

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"bloomtide/ingest/county"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// newMan writes manual pages. It is hidden: whoever packs the program calls it
// once, keepers read --help.
func newMan() *cobra.Command {
	return &cobra.Command{
		Use:    "man FOLDER",
		Short:  "Write a manual page for each command into a folder",
		Long:   "man writes a manual page for each command, section 1, into a folder.",
		Hidden: true,
		Example: `  bloomtide man man1
  man ./man1/bloomtide-plan.1`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usageError{errors.New("man takes one folder"), "bloomtide man FOLDER"}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			const readable = 0o755
			if err := os.MkdirAll(args[0], readable); err != nil {
				return fmt.Errorf("write manual pages: %w", err)
			}
			root := c.Root()
			root.DisableAutoGenTag = true // the same pages on any day
			day := manualDay()
			return doc.GenManTree(root, &doc.GenManHeader{Title: "BLOOMTIDE", Section: "1", Source: "bloomtide", Manual: "bloomtide", Date: &day}, args[0])
		},
	}
}

// manualDay stands on the manual pages: a fixed day, so that they are the same
// whenever they are written.
func manualDay() time.Time { return time.Date(2026, time.November, 1, 0, 0, 0, 0, time.UTC) }

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
		for flag, endings := range map[string][]string{"config": {"yaml", "yml"}, "forage": {"csv"}} {
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
