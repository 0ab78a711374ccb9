package main

import (
	"errors"
	"math"
	"slices"
	"strings"

	"bloomtide/config"
	"bloomtide/ingest"
	"bloomtide/ingest/archive"
	"bloomtide/ingest/areal"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
)

// collected reads the records that the settings name, gaps left open: from
// weather files, else from the archive, which holds what was ingested and the
// files that lie in it or were fetched into it. minDays is that of
// ingest.Options.
func (w world) collected(s config.Settings, minDays int) ([]ingest.Record, error) {
	unit, err := format.ParseUnit(s.Unit)
	if err != nil {
		return nil, &usageError{err, ""}
	}
	o := ingest.Options{Unit: unit, NoFill: true, MinDays: minDays, Decode: decodeParquet, Columns: format.Columns{
		Date: s.Columns.Date, TMin: s.Columns.TMin, TMax: s.Columns.TMax, Rain: s.Columns.Rain,
	}}
	var kept []ingest.Record
	if len(s.Weather) == 0 {
		if kept, err = w.kept(s, o); err != nil {
			return nil, err
		}
		if len(kept) > 0 && !hasFiles(s.Archive) && fetchedRecords(s.Archive) == "" {
			return kept, nil
		}
	}
	names := recordsOf(s)
	in, err := w.openInputs(names)
	if err != nil {
		return nil, err
	}
	o.LeaveOut = len(in.sources) > 1 || len(kept) > 0
	records, err := ingest.Collect(in.sources, o)
	var poor *ingest.PoorDataError
	if err != nil && !(errors.As(err, &poor) && len(kept) > 0) {
		return nil, naming(names, err)
	}
	locateRecords(records, in.paths)
	return joined(kept, records), nil
}

// joined adds the records of files to those of the archive. A station that is
// in both is taken from the files, which are newer, with what only the archive
// has of it.
func joined(kept, files []ingest.Record) []ingest.Record {
	out := slices.Clone(kept)
	for _, f := range files {
		i := slices.IndexFunc(out, func(r ingest.Record) bool { return r.Series.Site.ID == f.Series.Site.ID })
		if i < 0 {
			out = append(out, f)
			continue
		}
		both, err := ingest.Kept(archive.Merge(out[i].Series, f.Series), ingest.Options{NoFill: true, MinDays: 1})
		if err == nil {
			both.Report.Notes = f.Report.Notes
			out[i] = both
		}
	}
	slices.SortStableFunc(out, func(a, b ingest.Record) int { return b.Report.Days - a.Report.Days })
	return out
}

// kept reads the stations of the archive that can matter: those nearest to the
// place, and those that are named like it. Where neither is told, all.
func (w world) kept(s config.Settings, o ingest.Options) ([]ingest.Record, error) {
	if s.Archive == "" {
		return nil, nil
	}
	dir, err := w.recordsIn(s.Archive)
	if err != nil {
		return nil, err
	}
	a, err := archive.Open(dir)
	if err != nil {
		return nil, err
	}
	var sites []weather.Site
	for x, err := range a.Heads() {
		if err != nil {
			say{w.stderr}.warning("%v", err)
			continue
		}
		sites = append(sites, x.Site)
	}
	var out []ingest.Record
	var poor error
	for _, i := range wanted(sites, s) {
		series, err := a.Get(sites[i].ID)
		var damage *archive.DamageError
		if errors.As(err, &damage) {
			say{w.stderr}.warning("%v", err)
			continue
		}
		if err != nil {
			return nil, err
		}
		r, err := ingest.Kept(series, o)
		if err != nil {
			poor = err
			continue
		}
		out = append(out, r)
	}
	if len(out) == 0 && poor != nil && !hasFiles(s.Archive) {
		return nil, poor
	}
	slices.SortStableFunc(out, func(a, b ingest.Record) int { return b.Report.Days - a.Report.Days })
	return out, nil
}

// wanted returns the numbers of the sites to read.
func wanted(sites []weather.Site, s config.Settings) []int {
	var out []int
	for i, x := range sites {
		if s.Place != "" && strings.Contains(strings.ToLower(stationName(x)), strings.ToLower(s.Place)) {
			out = append(out, i)
		}
	}
	out = out[:min(len(out), mostCandidates)]
	if !math.IsNaN(s.Lat) && !math.IsNaN(s.Lon) {
		for _, i := range areal.Nearest(orb.Point{s.Lon, s.Lat}, sites, mostCandidates, math.Inf(1)) {
			if !slices.Contains(out, i) {
				out = append(out, i)
			}
		}
	}
	if len(out) == 0 {
		for i := range sites[:min(len(sites), mostUnasked)] {
			out = append(out, i)
		}
	}
	return out
}

// mostUnasked is how many stations are read where nothing tells which: our
// choice, the archive of one keeper has fewer.
const mostUnasked = 200

// ownArchive reports whether records were ingested into the user's data folder
// and a place is told, so that a plan need not fall back on the demo.
func (w world) ownArchive(s config.Settings) (dir string, ok bool) {
	if len(s.Weather) > 0 || s.Archive != "" || math.IsNaN(s.Lat) && s.County == "" {
		return "", false
	}
	home := w.dataHome()
	if home == "" {
		return "", false
	}
	records, err := w.recordsIn(home)
	if err != nil {
		return "", false
	}
	a, err := archive.Open(records)
	if err != nil {
		return "", false
	}
	ids, err := a.List()
	return home, err == nil && (len(ids) > 0 || fetchedRecords(home) != "")
}
