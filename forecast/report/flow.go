package report

import (
	"fmt"
	"io"
	"strconv"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
)

// FlowSchema names the JSON document of flows and its version.
const FlowSchema = "bloomtide/flow/1"

// Weighed is what a keeper's own hive scale shows.
type Weighed struct {
	Name    string // of the file
	Gains   flow.Gains
	Flows   []flow.Flow
	Dearths []flow.Dearth
}

// FlowTable prints forecast flows and, beside them, those that a scale has
// weighed; weighed may be nil.
func FlowTable(w io.Writer, all []forecast.Forecast, weighed *Weighed, o Options) error {
	p := newPrinter(forecast.Forecast{}, o)
	t := p.page()
	for _, f := range all {
		p.issue = f.Issue
		name := f.Apiary.Name
		if f.Apiary.Invented {
			name += " (invented)"
		}
		t.heading(name + ": nectar flow forecast of " + p.day(f.Issue))
		p.flowHead(t)
		for _, x := range f.Flows {
			p.forecastFlow(t, x)
		}
		if len(f.Flows) == 0 {
			t.item("  ", "None expected from these stands.")
		}
		t.item("  ", fmt.Sprintf("Dearth between the first flow and the last: %s days in the middle year.", number(f.Measures.DearthDays.Median())))
	}
	if weighed != nil {
		p.weighed(t, *weighed)
	}
	return t.writeTo(w)
}

func (p printer) flowHead(t *page) {
	t.line(fmt.Sprintf("  %-6s %-7s %-7s %-7s %6s %6s %6s %6s  %s", "", "start", "peak", "end", "total", "a day", "effect.", "best 7", "shape"))
}

func (p printer) flowRow(t *page, name string, days [3]weather.Date, x jsonFlowRow) {
	mass := func(kg *float64) string {
		if kg == nil {
			return "-"
		}
		return number(p.massOf(*kg))
	}
	t.line(fmt.Sprintf("  %-6s %-7s %-7s %-7s %6s %6s %6.0f %6s  %s", name, p.short(days[0]), p.short(days[1]), p.short(days[2]),
		mass(x.Kg), mass(x.KgPerDay), x.EffectiveDays, percent(x.BestWeekShare), x.Shape))
}

// massOf turns kg into the reader's unit.
func (p printer) massOf(kg float64) float64 {
	if p.Units == US {
		return kg / kgPerLb
	}
	return kg
}

func (p printer) forecastFlow(t *page, w forecast.FlowWindow) {
	p.flowRow(t, w.Name, [3]weather.Date{w.Start.Likely, w.Peak.Likely, w.End.Likely}, forecastRow(w))
}

func (p printer) weighed(t *page, x Weighed) {
	t.heading("Weighed: " + x.Name)
	p.flowHead(t)
	for _, f := range x.Flows {
		p.flowRow(t, strconv.Itoa(f.Start.Year()), [3]weather.Date{f.Start, f.Peak, f.End}, weighedRow(f))
		for _, g := range f.Gaps {
			t.item("         ", fmt.Sprintf("break of %d days from %s", g.To-g.From, p.short(g.From)))
		}
	}
	if len(x.Flows) == 0 {
		t.item("  ", "No flow in it.")
	}
	for _, d := range x.Dearths {
		t.item("  ", fmt.Sprintf("dearth of %d days from %s", d.To-d.From, p.short(d.From)))
	}
	if n := len(x.Gains.Jumps); n > 0 {
		t.item("  ", fmt.Sprintf("Days whose changes were the keeper's work, not the bees', and are taken out: %d, the first %s.", n, p.day(x.Gains.Jumps[0])))
	}
	if x.Gains.Bridged > 0 {
		t.item("  ", fmt.Sprintf("%d days without a reading share the gain around them evenly.", x.Gains.Bridged))
	}
	if low, high, ok := flow.Turning(x.Gains.GainKg); ok {
		day := func(i int) weather.Date { return x.Gains.Start + weather.Date(i) }
		t.item("  ", fmt.Sprintf("Second opinion, by the turns of the running sum: the season's gain runs from %s to %s.", p.day(day(low)+1), p.day(day(high))))
	}
}

type jsonFlowRow struct {
	Source        string   `json:"source"` // forecast or weighed
	Place         string   `json:"place,omitempty"`
	Name          string   `json:"name"`
	Start         string   `json:"start"`
	Peak          string   `json:"peak"`
	End           string   `json:"end"`
	Kg            *float64 `json:"kg"`
	KgPerDay      *float64 `json:"kg_per_day"`
	EffectiveDays float64  `json:"effective_days"`
	BestWeekShare float64  `json:"best_week_share"`
	GapDays       *int     `json:"gap_days"`
	Shape         string   `json:"shape"`
	Share         float64  `json:"share"`
}

func forecastRow(w forecast.FlowWindow) jsonFlowRow {
	r := jsonFlowRow{
		Source: "forecast", Name: w.Name, Start: w.Start.Likely.String(), Peak: w.Peak.Likely.String(), End: w.End.Likely.String(),
		EffectiveDays: rounded(w.EffectiveDays[1], 1), BestWeekShare: rounded(w.BestWeekShare, 3), Shape: string(w.Shape), Share: rounded(w.Start.Share, 3),
	}
	if !w.Relative {
		kg, day := rounded(w.Kg[1], 1), rounded(w.KgPerDay, 2)
		r.Kg, r.KgPerDay = &kg, &day
	}
	return r
}

func weighedRow(f flow.Flow) jsonFlowRow {
	kg, day, gaps := rounded(f.Kg, 1), rounded(f.KgPerDay(), 2), f.GapDays()
	return jsonFlowRow{
		Source: "weighed", Name: strconv.Itoa(f.Start.Year()), Start: f.Start.String(), Peak: f.Peak.String(), End: f.End.String(),
		Kg: &kg, KgPerDay: &day, EffectiveDays: rounded(f.EffectiveDays, 1), BestWeekShare: rounded(f.BestWeekShare, 3),
		GapDays: &gaps, Shape: string(f.Shape), Share: 1,
	}
}

// flowRows returns all flows, forecast ones first.
func flowRows(all []forecast.Forecast, weighed *Weighed) []jsonFlowRow {
	out := []jsonFlowRow{}
	for _, f := range all {
		for _, w := range f.Flows {
			r := forecastRow(w)
			r.Place = f.Apiary.Name
			out = append(out, r)
		}
	}
	if weighed != nil {
		for _, f := range weighed.Flows {
			out = append(out, weighedRow(f))
		}
	}
	return out
}

// FlowJSON writes the flows as one document, schema FlowSchema.
func FlowJSON(w io.Writer, all []forecast.Forecast, weighed *Weighed) error {
	d := struct {
		Schema    string        `json:"schema"`
		IssueDate string        `json:"issue_date"`
		Flows     []jsonFlowRow `json:"flows"`
	}{FlowSchema, all[0].Issue.String(), flowRows(all, weighed)}
	return encode(w, d)
}

// FlowCSV writes one row a flow.
func FlowCSV(w io.Writer, all []forecast.Forecast, weighed *Weighed) error {
	rows := [][]string{{"source", "place", "name", "start", "peak", "end", "kg", "kg_per_day", "effective_days", "best_week_share", "gap_days", "shape", "share"}}
	for _, r := range flowRows(all, weighed) {
		number := func(x *float64) string {
			if x == nil {
				return ""
			}
			return strconv.FormatFloat(*x, 'g', -1, 64)
		}
		gaps := ""
		if r.GapDays != nil {
			gaps = strconv.Itoa(*r.GapDays)
		}
		rows = append(rows, []string{r.Source, r.Place, r.Name, r.Start, r.Peak, r.End, number(r.Kg), number(r.KgPerDay),
			number(&r.EffectiveDays), share(r.BestWeekShare), gaps, r.Shape, share(r.Share)})
	}
	return writeCSV(w, rows)
}
