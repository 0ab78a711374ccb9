package report

import (
	"math"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// TaskView is one task in the words and units of its reader, for a page that
// lays them out itself.
type TaskView struct {
	UID     string // stable meaning, as in the calendar
	Kind    hive.Kind
	Title   string
	Likely  string // day with weekday: "Thu 24 Apr"
	Latest  string // last day of the window, likewise
	Until   string // last day of a watch, likewise; empty for work of a single day
	Span    string // early and late day: "19–29 Apr"
	Odds    string // "87 %"
	Why     string
	Check   string // what to look for; may be empty, as the next two
	Late    string // what to do when it is late
	Care    string // what to beware
	State   string // "overdue", "due", "window open", "running to" a day, or nothing
	Running bool   // a watch that has begun and goes on
	Group   bool   // one of several looks at the brood nest, not the first
	Day     weather.Date
}

// TaskViews returns every task of the plan in its order.
func TaskViews(f forecast.Forecast, o Options) []TaskView {
	p := newPrinter(f, o)
	out := make([]TaskView, len(f.Tasks))
	seen := map[int]bool{}
	for i, t := range f.Tasks {
		out[i] = TaskView{
			UID: taskUID(f, t), Kind: t.Kind, Title: title(t), Day: t.Window.Likely,
			Likely: p.weekday(t.Window.Likely), Latest: p.weekday(t.Window.Late),
			Span: p.span(t.Window), Odds: percent(t.Window.Share), Why: p.reason(t.Why), State: p.stateWord(t), Running: p.running(t),
			Check: p.reason(t.Check), Late: p.reason(t.Late), Care: p.reason(t.Care),
		}
		if t.Until != 0 {
			out[i].Until = p.weekday(t.Until)
		}
		if t.Kind == hive.CongestionCheck {
			out[i].Group = seen[t.Year]
			seen[t.Year] = true
		}
	}
	return out
}

// FlowView is one nectar flow in the words and units of its reader.
type FlowView struct {
	Name, Start, End, Shape, Odds string
	Gain                          string // of one hive, empty where amounts are not known
}

// FlowViews returns the flows of the coming year.
func FlowViews(f forecast.Forecast, o Options) []FlowView {
	p := newPrinter(f, o)
	out := make([]FlowView, len(f.Flows))
	for i, w := range f.Flows {
		out[i] = FlowView{
			Name:  w.Name,
			Start: p.date(w.Start.Likely) + " (" + p.span(w.Start) + ")",
			End:   p.date(w.End.Likely) + " (" + p.span(w.End) + ")",
			Shape: string(w.Shape) + ", " + number(math.Round(w.EffectiveDays[1])) + " effective days",
			Odds:  percent(w.Start.Share),
		}
		if !w.Relative {
			out[i].Gain = p.Units.mass(w.Kg[1])
		}
	}
	return out
}

// PastText says how far off forecasts made on this day of past years have been;
// empty where that is not known.
func PastText(f forecast.Forecast, o Options) string { return sentence(newPrinter(f, o).pastLine(f)) }

// ReasonText writes a reason out in the words and units of its reader.
func ReasonText(f forecast.Forecast, r hive.Reason, o Options) string {
	return newPrinter(f, o).reason(r)
}

// DayText writes a day with its weekday and year.
func DayText(d weather.Date, u Units) string { return printer{Options: Options{Units: u}}.day(d) }
