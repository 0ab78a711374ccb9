package forecast

import (
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// FlowWindow is the main nectar flow of the coming year over all members, or
// the largest one before or after it.
type FlowWindow struct {
	Name             string // "main", "early" or "late"
	Year             int    // plant year
	Start, Peak, End Window
	Kg               [3]float64 // total for one hive, kg: 10, 50 and 90 % of members; not to be shown where Relative
	KgPerDay         float64    // median strength, kg/d; not to be shown where Relative
	EffectiveDays    [3]float64 // days: 10, 50 and 90 %
	BestWeekShare    float64    // median, 0 to 1
	Shape            flow.Shape // by the median effective days
	Relative         bool       // cover not known: no kilograms
}

// role picks one flow of a year, if it has it.
type role struct {
	name string
	pick func(hive.Year) (flow.Flow, bool)
}

// mainFlow names the largest flow of a year.
const mainFlow = "main"

// roles in the order of the year.
func roles() []role {
	return []role{
		{"early", func(y hive.Year) (flow.Flow, bool) {
			return largest(y, func(f flow.Flow) bool { return f.End < y.Main.Start })
		}},
		{mainFlow, func(y hive.Year) (flow.Flow, bool) { return y.Main, y.HasFlow }},
		{"late", func(y hive.Year) (flow.Flow, bool) {
			return largest(y, func(f flow.Flow) bool { return f.Start > y.Main.End })
		}},
	}
}

func largest(y hive.Year, want func(flow.Flow) bool) (flow.Flow, bool) {
	var side []flow.Flow
	for _, f := range y.Flows {
		if want(f) {
			side = append(side, f)
		}
	}
	return flow.Main(side)
}

// The share of members that must show a side flow, or a task, for it to be
// worth a line. Our own choice.
const (
	leastFlowShare = 0.25
	leastTaskShare = 0.1
)

// flowWindows summarises the flows of one plant year.
func flowWindows(played []hive.Year, year int, a Apiary) []FlowWindow {
	var out []FlowWindow
	for _, r := range roles() {
		var flows []flow.Flow
		for _, y := range played {
			if f, ok := r.pick(y); ok {
				flows = append(flows, f)
			}
		}
		if len(flows) == 0 || r.name != mainFlow && float64(len(flows)) < leastFlowShare*float64(len(played)) {
			continue
		}
		w := flowWindow(flows, len(played))
		w.Name, w.Year, w.Relative = r.name, year, a.Relative
		w.Shape = a.Setup.Rules.WithDefaults().ShapeOf(w.EffectiveDays[1])
		out = append(out, w)
	}
	return out
}

func flowWindow(flows []flow.Flow, members int) FlowWindow {
	days := func(of func(flow.Flow) weather.Date) Window {
		d := make([]weather.Date, len(flows))
		for i, f := range flows {
			d[i] = of(f)
		}
		return NewWindow(d, members)
	}
	spread := func(of func(flow.Flow) float64) [3]float64 {
		x := make([]float64, len(flows))
		for i, f := range flows {
			x[i] = of(f)
		}
		return [3]float64{Quantile(x, 0.1), Quantile(x, 0.5), Quantile(x, 0.9)}
	}
	return FlowWindow{
		Start:         days(func(f flow.Flow) weather.Date { return f.Start }),
		Peak:          days(func(f flow.Flow) weather.Date { return f.Peak }),
		End:           days(func(f flow.Flow) weather.Date { return f.End }),
		Kg:            spread(func(f flow.Flow) float64 { return f.Kg }),
		KgPerDay:      spread(flow.Flow.KgPerDay)[1],
		EffectiveDays: spread(func(f flow.Flow) float64 { return f.EffectiveDays }),
		BestWeekShare: spread(func(f flow.Flow) float64 { return f.BestWeekShare })[1],
	}
}
