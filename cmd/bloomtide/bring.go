package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest"
	"bloomtide/ingest/areal"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
)

// Stations that are looked at together: more cost time and tell little. Our
// own choices; the distance is that of package areal.
const (
	mostCandidates = 12
	neighbourKm    = 150
)

// candidates keeps the stations that can matter: the ones nearest to the
// place, or to the station that is named like it, or to the longest record.
func candidates(records []ingest.Record, s config.Settings) []ingest.Record {
	if len(records) <= mostCandidates {
		return records
	}
	at := 0
	point := orb.Point{s.Lon, s.Lat}
	if i := named(records, s); i >= 0 || math.IsNaN(s.Lat) {
		at = max(i, 0)
		point = records[at].Series.Site.Point
	}
	near := areal.Nearest(point, sitesOf(records), mostCandidates, math.Inf(1))
	if !slices.Contains(near, at) && (math.IsNaN(s.Lat) || named(records, s) >= 0 || len(near) == 0) {
		near = append(near, at)
	}
	slices.Sort(near) // keeps the longest first
	out := make([]ingest.Record, len(near))
	for k, i := range near {
		out[k] = records[i]
	}
	return out
}

func sitesOf(records []ingest.Record) []weather.Site {
	out := make([]weather.Site, len(records))
	for i, r := range records {
		out[i] = r.Series.Site
	}
	return out
}

// named returns the index of the station that is named like the place, −1 for
// none.
func named(records []ingest.Record, s config.Settings) int {
	if s.Place == "" {
		return -1
	}
	return slices.IndexFunc(records, func(r ingest.Record) bool {
		return strings.Contains(strings.ToLower(stationName(r.Series.Site)), strings.ToLower(s.Place))
	})
}

// tended checks stations against each other and fills their gaps.
func tended(records []ingest.Record, o ingest.TendOptions) []ingest.Tended {
	sites := sitesOf(records)
	o.Near = func(i int) []int {
		return areal.Nearest(sites[i].Point, sites, mostCandidates, neighbourKm)
	}
	return ingest.Tend(records, o)
}

// bring makes the record of the place out of its stations, with what should be
// said about it. ok is false where no station with a known position lies near.
func bring(all []ingest.Tended, p placed, u report.Units) (series weather.Series, notes []string, ok bool) {
	records := make([]weather.Series, len(all))
	for i, t := range all {
		records[i] = t.Series
	}
	site := weather.Site{Point: orb.Point{p.settings.Lon, p.settings.Lat}, ElevM: p.settings.ElevationM}
	r, err := areal.Mean(site, p.samples, records, areal.Options{})
	if err != nil {
		return series, nil, false
	}
	first := r.Sources[0]
	series = r.Series
	series.Site.ID = first.Site.ID
	series.Site.Name = cmp.Or(printable(p.settings.Place), printable(first.Site.Name), first.Site.ID)
	return series, append(broughtNotes(r, u), r.Notes...), true
}

// broughtNotes says how many stations there are, how much each tells and how
// good the mixture is.
func broughtNotes(r areal.Result, u report.Units) []string {
	var out []string
	if len(r.Sources) > 1 {
		s := fmt.Sprintf("the weather is the mean of %d stations, %s first (%.0f %% of the weight)",
			len(r.Sources), stationName(r.Sources[0].Site), 100*r.Sources[0].Share)
		if !math.IsNaN(r.Error.MinK) && !math.IsNaN(r.Error.MaxK) {
			s += fmt.Sprintf("; at a station left out, the minimum of a day is off by %s and the maximum by %s",
				difference(r.Error.MinK, u), difference(r.Error.MaxK, u))
		}
		out = append(out, s)
	}
	if rise := r.Sources[0].RiseM; math.Abs(rise) > highM {
		out = append(out, fmt.Sprintf("%s stands %s than the place: its temperatures are moved by %s for each %s",
			stationName(r.Sources[0].Site), u.Height(rise), difference((r.Lapse[0].KPerKm+r.Lapse[1].KPerKm)/2*step(u), u), stepName(u)))
	}
	return out
}

// step is the difference of height that a lapse rate is told for, km.
func step(u report.Units) float64 {
	if u == report.US {
		return 0.3048 // 1000 ft
	}
	return 1
}

func stepName(u report.Units) string {
	if u == report.US {
		return "1000 ft"
	}
	return "1000 m"
}

// difference writes a difference of temperature.
func difference(k float64, u report.Units) string {
	if u == report.US {
		return fmt.Sprintf("%.1f °F", 1.8*k)
	}
	return fmt.Sprintf("%.1f °C", k)
}

// checkNotes says what the checks of the stations behind a place decided.
func checkNotes(all []ingest.Tended, sources []weather.Site) []string {
	rejected := 0
	counts := map[string]int{}
	var out []string
	for _, t := range all {
		if !slices.ContainsFunc(sources, func(s weather.Site) bool { return s.ID == t.Checks.Series.Site.ID }) {
			continue
		}
		rejected += t.Checks.Rejected
		for _, f := range t.Checks.Findings {
			if f.Rejected {
				counts[f.Check]++
			}
			if f.Check == "shifted day" {
				out = append(out, f.String())
			}
		}
	}
	if rejected > 0 {
		out = append(out, fmt.Sprintf("checks reject %d values (%s); 'bloomtide check' lists them", rejected, ingest.Summary(counts)))
	}
	return out
}
