package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"bloomtide/config"
	"bloomtide/ingest"
	"bloomtide/ingest/fill"
	"bloomtide/ingest/qc"
	"bloomtide/ingest/weather"

	"github.com/spf13/cobra"
)

// checkOptions are the options of check that are no settings.
type checkOptions struct {
	output string
	rules  bool
}

func newCheck(w world) *cobra.Command {
	o := &checkOptions{}
	c := &cobra.Command{
		Use:   "check [FILE...]",
		Short: "Test daily temperature records and list what is odd in them",
		Long: `check reads daily temperature files and tests each station against what can be,
against its own record and against its neighbours. It lists every doubt on a
line: station, day, value, why, the check and what is done about it, counts
them, and tells how well gaps can be filled. It changes no file.

Neighbours are stations of the same call within 150 km; give several files or a
folder to have them compared.`,
		Example: `  bloomtide check station.csv
  bloomtide check data/*.csv.gz --format csv > doubts.csv
  bloomtide check --rules`,
		RunE: func(c *cobra.Command, args []string) error { return runCheck(c, w, *o, args) },
	}
	config.AddFlags(c.Flags())
	c.Flags().StringVarP(&o.output, "output", "o", "", "write to this file instead of the screen")
	c.Flags().BoolVar(&o.rules, "rules", false, "list the checks and who proposed them")
	return c
}

func runCheck(c *cobra.Command, w world, o checkOptions, args []string) error {
	if o.rules {
		return w.deliver(o.output, writeRules)
	}
	s, err := w.settings(c)
	if err != nil {
		return err
	}
	if len(args) > 0 {
		s.Weather = args
	}
	write, known := map[string]func(io.Writer, []checked) error{
		"table": checkTable, "csv": checkCSV, "json": checkJSON,
	}[s.Format]
	if !known {
		return &usageError{fmt.Errorf("check cannot write %q", s.Format), "use --format table, csv or json"}
	}
	if len(s.Weather) == 0 && s.Archive == "" {
		return &usageError{fmt.Errorf("no file of daily temperatures to check"), "name one: bloomtide check station.csv"}
	}
	records, err := w.unfilled(s)
	if err != nil {
		return err
	}
	all := tended(records, ingest.TendOptions{UndoShift: s.UndoShift, NoFill: true})
	return w.deliver(o.output, func(to io.Writer) error { return write(to, judged(all)) })
}

// unfilled reads the records that the settings name, gaps left open, whatever
// their length.
func (w world) unfilled(s config.Settings) ([]ingest.Record, error) {
	records, err := w.collected(s, 1)
	if err != nil {
		return nil, err
	}
	told := map[string]bool{}
	for _, r := range records {
		say{w.stderr}.tellBadLines(r.Report)
		for _, note := range fewLeftOut(r.Report.Notes) {
			if strings.Contains(note, "left out") && !told[note] {
				told[note] = true
				say{w.stderr}.warning("%s", note)
			}
		}
	}
	return records, nil
}

// checked is a station with how well its gaps can be filled.
type checked struct {
	ingest.Tended
	fills []fillError
}

// fillError is what refilling hidden days of a station showed.
type fillError struct {
	method  string
	gapDays int
	err     fill.Error
}

// judged scores the filling of each station. Gaps of a day and of a month
// stand for the short and the long ones.
func judged(all []ingest.Tended) []checked {
	series := make([]weather.Series, len(all))
	for i, t := range all {
		series[i] = t.Checks.Series
	}
	out := make([]checked, len(all))
	for i, t := range all {
		out[i].Tended = t
		var near []weather.Series
		for _, s := range series {
			if slices.Contains(t.Neighbour, s.Site.ID) {
				near = append(near, s)
			}
		}
		for _, gap := range []int{1, 5, 30} {
			if e := fill.ScoreNear(series[i], near, gap, fill.NearOptions{}); len(near) > 0 && e.Values > 0 {
				out[i].fills = append(out[i].fills, fillError{"neighbours", gap, e.Error})
			}
			if e := fill.Score(series[i], gap, fill.Options{}); e.Values > 0 {
				out[i].fills = append(out[i].fills, fillError{"own record", gap, e})
			}
		}
	}
	return out
}

// writeRules lists the checks.
func writeRules(to io.Writer) error {
	for _, c := range qc.Checks() {
		does := "reports"
		if c.Decisive {
			does = "rejects"
		}
		if c.Near {
			does += ", needs neighbours"
		}
		if _, err := fmt.Fprintf(to, "%s (%s)\n  %s\n  source: %s\n", c.Name, does, c.Says, c.Source); err != nil {
			return err
		}
	}
	return nil
}
