package forecast

import (
	"fmt"
	"strings"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Doubts that are worth a line. Our own choices.
const (
	fewMembers   = 10   // below this the odds are rough
	staleDays    = 7    // a record that ends longer ago than this misses part of the season
	openShare    = 0.95 // of the days since the biofix that should be observed
	unlikelyFlow = 0.5
	recentDays   = (maxMembers + 1) * 366 // what members can be made of
)

// warnings are the doubts about this forecast, weightiest first.
func warnings(f Forecast, s weather.Series, e Ensemble) []string {
	var w []string
	say := func(format string, args ...any) { w = append(w, fmt.Sprintf(format, args...)) }
	if f.Apiary.Invented {
		say("%s is invented, and so is its weather: a demonstration, not advice", f.Apiary.Name)
	}
	if f.Apiary.Relative {
		say("how much grows within reach is not known: common plants count alike, so the shape of the flow is a guess and no amounts are shown; list your stands in the configuration")
	}
	if stale := int(f.Issue - 1 - e.LastDay); stale > staleDays {
		say("the record ends on %s, %d days before the issue date: past years stand in for those days", e.LastDay, stale)
	} else if float64(e.Observed) < openShare*float64(e.Elapsed) {
		say("%d of the %d days since mid-winter are observed: past years stand in for the rest", e.Observed, e.Elapsed)
	}
	if len(e.Members) < fewMembers {
		say("only %d past years make up the odds: read them as rough", len(e.Members))
	}
	if n := estimated(s.Slice(f.Issue-recentDays, f.Issue)); n > 0 {
		say("%d days of the last %d years of the record are estimates that fill gaps", n, maxMembers+1)
	}
	if m, ok := f.MainFlow(); !ok {
		say("no nectar flow comes out of these stands here: the work around it is left out")
	} else if m.Start.Share < unlikelyFlow {
		say("a main flow comes in only %.0f %% of past years", 100*m.Start.Share)
	}
	if names := unverified(f); len(names) > 0 {
		say("the bloom of %s rests on an unverified prior: watch it yourself before trusting the date", strings.Join(names, ", "))
	}
	return w
}

func estimated(s weather.Series) int {
	n := 0
	for _, d := range s.Days {
		if d.Usable() && d.Estimated() {
			n++
		}
	}
	return n
}

// unverified names the plants with a stand whose dates have no source.
func unverified(f Forecast) []string {
	var out []string
	for _, b := range f.Blooms {
		if b.Feeds && b.Status == phenology.UnverifiedPrior {
			out = append(out, b.Plant)
		}
	}
	return out
}
