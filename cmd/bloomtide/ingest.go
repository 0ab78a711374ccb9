package main

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"bloomtide/config"
	"bloomtide/ingest/archive"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"

	"github.com/spf13/cobra"
)

// recordsFolder is the part of an archive that holds the records of stations.
const recordsFolder = "stations"

// ingestOptions are the options of ingest that are no settings.
type ingestOptions struct {
	dryRun bool
}

func newIngest(w world) *cobra.Command {
	o := &ingestOptions{}
	c := &cobra.Command{
		Use:   "ingest FILE...",
		Short: "Add daily temperature files to your archive",
		Long: `ingest reads files, folders and patterns of daily temperatures, in every layout
that plan reads, and adds them to your archive: one Parquet file a station, in
the folder "stations" of --archive or else of your data folder. What a station
has already stays; where both have a value, the new one stands. Reading the same
file again changes nothing. The archive is open: DuckDB, pandas and other
programs can query the folder as it is. Values stay on the day on which they
were published: --undo-shift of plan and check moves them anew each time, since
it takes the neighbours to know.

It prints a line for each station: added, changed, unchanged or refused.`,
		Example: `  bloomtide ingest USC00218450.csv --archive records
  bloomtide ingest 2024.csv.gz ghcnd-stations.txt
  bloomtide stations --archive records
  bloomtide plan --archive records --lat 44.9 --lon -93.2`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return &usageError{errors.New("no file is named"), "name files or folders: bloomtide ingest station.csv"}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return runIngest(c, w, *o, args) },
	}
	sharedFlags(c, "archive", "config", "unit", "date-column", "tmin-column", "tmax-column")
	c.Flags().BoolVar(&o.dryRun, "dry-run", false, "read, check and count, but keep nothing")
	return c
}

// sharedFlags gives a command some of the flags that all commands share.
func sharedFlags(c *cobra.Command, names ...string) {
	shared := &cobra.Command{}
	config.AddFlags(shared.Flags())
	for _, name := range names {
		c.Flags().AddFlag(shared.Flags().Lookup(name))
	}
}

// recordsIn is the folder of station records of an archive, or of the user's
// data folder where none is named.
func (w world) recordsIn(archiveDir string) (string, error) {
	if archiveDir == "" {
		archiveDir = w.dataHome()
	}
	if archiveDir == "" {
		return "", &usageError{errors.New("no archive is named and there is no home folder"), "give --archive FOLDER, or archive: in the configuration"}
	}
	return filepath.Join(archiveDir, recordsFolder), nil
}

func runIngest(c *cobra.Command, w world, o ingestOptions, args []string) (err error) {
	s, err := w.settings(c)
	if err != nil {
		return err
	}
	unit, err := format.ParseUnit(s.Unit)
	if err != nil {
		return &usageError{err, ""}
	}
	dir, err := w.recordsIn(s.Archive)
	if err != nil {
		return err
	}
	paths, err := expandAll(args)
	if err != nil {
		return err
	}
	kept, err := archive.Open(dir)
	if err != nil {
		return err
	}
	g := &ingestion{world: w, ctx: c.Context(), unit: unit, met: map[string]int{}, sites: map[string]weather.Site{}, columns: format.Columns{
		Date: s.Columns.Date, TMin: s.Columns.TMin, TMax: s.Columns.TMax, Rain: s.Columns.Rain,
	}}
	if !o.dryRun {
		if g.writer, err = kept.Write(); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, g.writer.Close()) }()
	}
	paths = w.withPartners(paths)
	g.gauge = w.newGauge(paths)
	err = g.all(paths)
	g.gauge.stop()
	if err != nil {
		return err
	}
	return g.print(w.stdout)
}

// expandAll lists the files that all names stand for.
func expandAll(names []string) ([]string, error) {
	var out []string
	for _, name := range names {
		if name == "-" {
			out = append(out, name)
			continue
		}
		paths, err := expand(name)
		if err != nil {
			return nil, err
		}
		out = append(out, paths...)
	}
	return out, nil
}

// states are what can become of a station, in the order of the last line.
var states = [...]string{"added", "changed", "unchanged", "read", "refused"}

// print writes a line a station and one of counts.
func (g *ingestion) print(to io.Writer) error {
	slices.SortFunc(g.outcomes, func(a, b fate) int { return cmp.Or(strings.Compare(a.id, b.id), strings.Compare(a.text, b.text)) })
	b := bufio.NewWriter(to)
	counts := map[string]int{}
	for _, x := range g.outcomes {
		counts[x.state]++
		fmt.Fprintf(b, "%-9s %s\n", x.state, printable(x.text))
	}
	var parts []string
	for _, s := range states {
		if counts[s] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", counts[s], s))
		}
	}
	if len(parts) == 0 {
		parts = append(parts, "no daily records") // a list of stations alone
	}
	fmt.Fprintf(b, "%s; %d lines read, %d bad", several(parts), g.lines, g.bad)
	if g.bare > 0 {
		fmt.Fprintf(b, "; %d stations without temperatures left out", g.bare)
	}
	b.WriteByte('\n')
	if err := b.Flush(); err != nil {
		return err
	}
	g.tellFaults()
	if counts["refused"] > 0 && counts["refused"] == len(g.outcomes) {
		return errors.New("nothing of this could be kept; the reasons stand above")
	}
	return g.failure
}

// tellFaults names the first bad lines.
func (g *ingestion) tellFaults() {
	for _, err := range g.faults[:min(len(g.faults), badLinesShown)] {
		say{g.stderr}.warning("%v", err)
	}
	if g.bad > badLinesShown {
		say{g.stderr}.warning("%d more bad lines", g.bad-badLinesShown)
	}
}
