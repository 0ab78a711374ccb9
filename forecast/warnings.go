package forecast

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bloomtide/forecast/hive"
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
	if text := uncovered(f.Apiary); text != "" {
		say("%s", text)
	}
	for _, doubt := range f.Making.Doubts {
		say("%s", doubt)
	}
	stale := int(f.Issue-1-e.LastDay) - f.Making.Outlook.Bridged
	if stale > staleDays && f.Making.Outlook.Bridged > 0 {
		say("the record ends on %s, %d days before the issue date: the outlook stands in for %d of them, past years for the rest", e.LastDay, f.Issue-1-e.LastDay, f.Making.Outlook.Bridged)
	} else if stale > staleDays {
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
	for _, h := range f.Hangs {
		say("%s", h.text())
	}
	if names := unverified(f); len(names) > 0 {
		say("the bloom of %s rests on an unverified prior: watch it yourself before trusting the date; no work hangs on it by more than %d days", strings.Join(names, ", "), fewDays)
	}
	return w
}

// uncovered says what is not known of the cover, "" where all is known.
func uncovered(a Apiary) string {
	names := strings.Join(a.Unmeasured, ", ")
	switch {
	case a.Relative && names != "":
		return "how much of each plant grows within reach is not known: those of your list count alike, so the shape of the flow is a guess and no amounts are shown; fill in the hectares"
	case a.Relative:
		return "how much grows within reach is not known: common plants count alike, so the shape of the flow is a guess and no amounts are shown; list your stands in the configuration"
	case names != "":
		return "how much grows within reach is not known of " + names + ": left out of the nectar flow, which may be more, and longer, than shown; fill in the hectares"
	default:
		return ""
	}
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

// unverified names the plants with a stand whose dates have no source and on
// which no work hangs.
func unverified(f Forecast) []string {
	var out []string
	for _, b := range f.Blooms {
		hangs := slices.ContainsFunc(f.Hangs, func(h Hang) bool { return h.Plant == b.Plant })
		if b.Feeds && b.Status == phenology.UnverifiedPrior && !hangs && !b.Seen {
			out = append(out, b.Plant)
		}
	}
	return out
}

// text says what work hangs on the row, the first few kinds by name.
func (h Hang) text() string {
	const named = 4
	var kinds []hive.Kind
	var parts []string
	for _, m := range h.Moves {
		if slices.Contains(kinds, m.Kind) {
			continue
		}
		kinds = append(kinds, m.Kind)
		if len(parts) < named {
			parts = append(parts, fmt.Sprintf("%q by %.0f days", m.Kind.Title(), math.Abs(m.Days)))
		}
	}
	work := strings.Join(parts, ", ")
	switch more := len(kinds) - len(parts); {
	case more == 1:
		work += " and 1 more kind of work"
	case more > 1:
		work += fmt.Sprintf(" and %d more kinds of work", more)
	}
	return fmt.Sprintf("%s rests on an unverified prior: where its row is off by its own doubt, first bloom moves by %.0f days and with it move %s; watch it yourself before trusting these dates",
		h.Plant, h.Days, work)
}
