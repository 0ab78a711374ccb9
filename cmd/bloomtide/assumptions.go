package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"bloomtide/config"

	"github.com/spf13/cobra"
)

type assumptionOptions struct{ output string }

func newAssumptions(w world) *cobra.Command {
	o := &assumptionOptions{}
	c := &cobra.Command{
		Use:   "assumptions",
		Short: "List every number the plan rests on: value, unit, where it is set and why",
		Long: `assumptions lists the numbers behind flow, colony, comb and dates: the value in
use, its unit, the setting or the file that holds it, and its source or the
reason for our own choice. Numbers of plants are in "bloomtide forage".`,
		Example: `  bloomtide assumptions
  bloomtide assumptions --format csv > numbers.csv`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runAssumptions(c, w, o) },
	}
	config.AddFlags(c.Flags())
	c.Flags().StringVarP(&o.output, "output", "o", "", "write to this file instead of the screen")
	return c
}

func runAssumptions(c *cobra.Command, w world, o *assumptionOptions) error {
	s, err := w.settings(c)
	if err != nil {
		return err
	}
	all := s.Assumptions()
	switch s.Format {
	case "table", "":
		return w.deliver(o.output, func(to io.Writer) error { return assumptionsTable(to, all) })
	case "csv":
		return w.deliver(o.output, func(to io.Writer) error { return assumptionsCSV(to, all) })
	case "json":
		return w.deliver(o.output, func(to io.Writer) error { return assumptionsJSON(to, all) })
	}
	return &usageError{fmt.Errorf("the list of numbers has no format %q", s.Format), "use --format table, csv or json"}
}

// shortest writes a value as short as it is.
func shortest(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

func assumptionsTable(w io.Writer, all []config.Assumption) error {
	const width = 78
	for _, a := range all {
		changed := ""
		if a.Value != a.Default {
			changed = fmt.Sprintf(" (default %s)", shortest(a.Default))
		}
		if _, err := fmt.Fprintf(w, "%s: %s %s%s\n    %s\n", a.Name, shortest(a.Value), a.Unit, changed, a.Where); err != nil {
			return err
		}
		for _, line := range config.Wrapped(a.Why, width-4) {
			if _, err := fmt.Fprintf(w, "    %s\n", line); err != nil {
				return err
			}
		}
	}
	return nil
}

func assumptionsCSV(w io.Writer, all []config.Assumption) error {
	rows := [][]string{{"name", "value", "unit", "default", "where", "why"}}
	for _, a := range all {
		rows = append(rows, []string{a.Name, shortest(a.Value), a.Unit, shortest(a.Default), a.Where, a.Why})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

func assumptionsJSON(w io.Writer, all []config.Assumption) error {
	type row struct {
		Name    string  `json:"name"`
		Value   float64 `json:"value"`
		Unit    string  `json:"unit"`
		Default float64 `json:"default"`
		Where   string  `json:"where"`
		Why     string  `json:"why"`
	}
	d := struct {
		Schema      string `json:"schema"`
		Assumptions []row  `json:"assumptions"`
	}{"bloomtide/assumptions/1", []row{}}
	for _, a := range all {
		d.Assumptions = append(d.Assumptions, row{a.Name, a.Value, a.Unit, a.Default, a.Where, a.Why})
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(d)
}
