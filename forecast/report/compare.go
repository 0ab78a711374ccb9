package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
)

// CompareSchema names the JSON of a comparison.
const CompareSchema = "bloomtide/compare/1"

// measure is one line of a comparison.
type measure struct {
	name string
	text func(printer, forecast.Compared) string
}

// none stands where a place has no answer.
const none = "–"

// compareMeasures in the order a keeper asks.
func compareMeasures() []measure {
	flowing := func(text func(printer, forecast.Compared) string) func(printer, forecast.Compared) string {
		return func(p printer, c forecast.Compared) string {
			if !c.HasFlow {
				return none
			}
			return text(p, c)
		}
	}
	known := func(text func(printer, forecast.Compared) string) func(printer, forecast.Compared) string {
		return flowing(func(p printer, c forecast.Compared) string {
			if !c.Known() {
				return "not known"
			}
			return text(p, c)
		})
	}
	return []measure{
		{"main flow starts", flowing(func(p printer, c forecast.Compared) string { return p.date(c.Main.Start.Likely) })},
		{"  early to late", flowing(func(p printer, c forecast.Compared) string { return p.span(c.Main.Start) })},
		{"ends", flowing(func(p printer, c forecast.Compared) string { return p.date(c.Main.End.Likely) })},
		{"length, days", flowing(func(_ printer, c forecast.Compared) string { return number(c.Days) })},
		{"effective days", flowing(func(_ printer, c forecast.Compared) string { return number(math.Round(c.Main.EffectiveDays[1])) })},
		{"shape", flowing(func(_ printer, c forecast.Compared) string { return string(c.Main.Shape) })},
		{"gain a day in flow", known(func(p printer, c forecast.Compared) string { return p.Units.mass(c.Main.KgPerDay) })},
		{"gain of the flow", known(func(p printer, c forecast.Compared) string { return p.Units.mass(c.Main.Kg[1]) })},
		{"years with a main flow", func(_ printer, c forecast.Compared) string { return percent(c.Forecast.Measures.Odds) }},
		{"flows in the year", func(_ printer, c forecast.Compared) string { return number(c.Forecast.Measures.Flows[1]) }},
		{"dearths between them", func(_ printer, c forecast.Compared) string { return number(c.Forecast.Measures.Dearths[1]) }},
		{"  days of dearth", func(_ printer, c forecast.Compared) string { return number(c.Forecast.Measures.DearthDays[1]) }},
		{"supers wanted", flowing(func(_ printer, c forecast.Compared) string { return number(c.Forecast.Measures.Supers[1]) })},
		{"  in the worst 10 days", known(func(_ printer, c forecast.Compared) string { return number(c.WorstTenSupers()) })},
		{"visits apart at most", flowing(func(p printer, c forecast.Compared) string {
			return p.value(hive.Value{Number: c.Forecast.Measures.VisitDays, Unit: hive.Days})
		})},
		{"winter stores", func(p printer, c forecast.Compared) string {
			if math.IsNaN(c.Forecast.Measures.StoresKg[1]) {
				return none
			}
			return p.Units.mass(c.Forecast.Measures.StoresKg[1])
		}},
	}
}

// Compare prints places side by side for people: what differs in words, then
// each measure.
func Compare(w io.Writer, c forecast.Comparison, o Options) error {
	p := newPrinter(c.Places[0].Forecast, o)
	t := p.page()
	t.list("What differs", p.reasons(c.Differs))
	t.list("What to do differently", p.reasons(c.Advice))
	p.aligned(t, c)
	p.sideBySide(t, c)
	if unsure := notSure(c); len(unsure) > 0 {
		t.list("What is not sure", unsure)
	}
	t.list("Take care", p.reasons(c.Places[0].Forecast.Cautions))
	return t.writeTo(w)
}

// notSure says how far the comparison may be believed.
func notSure(c forecast.Comparison) []string {
	var out []string
	if slices.ContainsFunc(c.Places, func(x forecast.Compared) bool { return x.Forecast.Apiary.Invented }) {
		out = append(out, "invented counties with invented weather are among them: a demonstration, not advice")
	}
	for _, x := range c.Places {
		if !x.Known() {
			out = append(out, "at "+x.Forecast.Apiary.Name+" it is not known how much grows within reach: amounts are left out, and supers and visits are a guess")
		}
	}
	return out
}

// sideBySide prints the measures, a column a place; where the columns would be
// too narrow for dates, in several tables below each other.
func (p printer) sideBySide(t *page, c forecast.Comparison) {
	const nameWidth, narrowest = 25, 13
	t.heading("Side by side")
	abreast := max((p.Width-nameWidth)/(narrowest+1), 1)
	for at := 0; at < len(c.Places); at += abreast {
		places := c.Places[at:min(at+abreast, len(c.Places))]
		if at > 0 {
			t.line("")
		}
		cell := (p.Width-nameWidth)/len(places) - 1
		row := func(name string, text func(forecast.Compared) string) string {
			line := fmt.Sprintf("  %-*s", nameWidth-2, name)
			for _, place := range places {
				line += fmt.Sprintf(" %-*s", cell, clip(text(place), cell))
			}
			return line
		}
		t.line(t.strong(row("", func(x forecast.Compared) string { return x.Forecast.Apiary.Name })))
		for _, m := range compareMeasures() {
			t.line(row(m.name, func(x forecast.Compared) string { return m.text(p, x) }))
		}
	}
}

// CompareRow is one measure of a comparison in the words and units of its
// reader, a cell a place.
type CompareRow struct {
	Name  string
	Cells []string
}

// CompareRows returns every measure of a comparison, for a page that lays them
// out itself.
func CompareRows(c forecast.Comparison, o Options) []CompareRow {
	p := newPrinter(c.Places[0].Forecast, o)
	var out []CompareRow
	for _, m := range compareMeasures() {
		r := CompareRow{Name: strings.TrimSpace(m.name)}
		for _, place := range c.Places {
			r.Cells = append(r.Cells, m.text(p, place))
		}
		out = append(out, r)
	}
	return out
}

// CompareCSV writes one row a place, in metric units.
func CompareCSV(w io.Writer, c forecast.Comparison) error {
	rows := [][]string{{"place", "start_likely", "end_likely", "length_days", "effective_days", "shape", "kg_per_hive_day", "kg_per_hive", "odds", "flows", "dearth_days", "supers", "visit_days", "stores_kg", "start_early", "start_late", "dearths", "room_worst_ten_days_dm2"}}
	decimal := func(x float64) string {
		if math.IsNaN(x) {
			return ""
		}
		return strconv.FormatFloat(rounded(x, 2), 'f', -1, 64)
	}
	for _, place := range c.Places {
		m, f := place.Forecast.Measures, place.Main
		row := []string{place.Forecast.Apiary.Name, "", "", "", "", "", "", ""}
		if place.HasFlow {
			row = []string{place.Forecast.Apiary.Name, f.Start.Likely.String(), f.End.Likely.String(), decimal(place.Days), decimal(f.EffectiveDays[1]), string(f.Shape), "", ""}
			if place.Known() {
				row[6], row[7] = decimal(f.KgPerDay), decimal(f.Kg[1])
			}
		}
		row = append(row, decimal(m.Odds), decimal(m.Flows[1]), decimal(m.DearthDays[1]), decimal(m.Supers[1]), decimal(m.VisitDays), decimal(m.StoresKg[1]),
			"", "", decimal(m.Dearths[1]), "")
		if place.HasFlow {
			row[len(row)-4], row[len(row)-3] = f.Start.Early.String(), f.Start.Late.String()
		}
		if place.Known() {
			row[len(row)-1] = decimal(m.WorstTenDm2[1])
		}
		rows = append(rows, row)
	}
	return writeCSV(w, rows)
}

type jsonComparison struct {
	Schema  string         `json:"schema"`
	Places  []jsonCompared `json:"places"`
	Differs []string       `json:"differs"`
	Advice  []string       `json:"advice"`
}

type jsonCompared struct {
	Place      jsonPlace   `json:"place"`
	IssueDate  string      `json:"issue_date"`
	Main       *jsonFlow   `json:"main_flow"`
	LengthDays *float64    `json:"length_days"`
	Odds       float64     `json:"odds"`
	Flows      jsonSpread  `json:"flows_in_year"`
	Dearths    jsonSpread  `json:"dearths"`
	DearthDays jsonSpread  `json:"dearth_days"`
	Supers     jsonSpread  `json:"supers"`
	WorstTen   *jsonSpread `json:"room_worst_ten_days_dm2"`
	VisitDays  float64     `json:"visit_days"`
	StoresKg   *jsonSpread `json:"stores_kg"`
}

// CompareJSON writes the comparison as one document, schema CompareSchema.
// Amounts are null where the cover of the stands is not known, winter stores
// where no winter closes the hive.
func CompareJSON(w io.Writer, c forecast.Comparison) error {
	d := jsonComparison{Schema: CompareSchema, Places: []jsonCompared{}}
	for _, place := range c.Places {
		d.Places = append(d.Places, newJSONCompared(place))
	}
	p := newPrinter(c.Places[0].Forecast, Options{})
	d.Differs, d.Advice = p.reasons(c.Differs), p.reasons(c.Advice)
	return encode(w, d)
}

func newJSONCompared(c forecast.Compared) jsonCompared {
	m := c.Forecast.Measures
	j := jsonCompared{
		Place: document(c.Forecast, "", func(forecast.BloomWindow) bool { return false }).Place, IssueDate: c.Forecast.Issue.String(),
		Odds: rounded(m.Odds, 3), Flows: spread(m.Flows), Dearths: spread(m.Dearths), DearthDays: spread(m.DearthDays),
		Supers: spread(m.Supers), VisitDays: m.VisitDays,
	}
	if c.HasFlow {
		main := newJSONFlow(c.Main)
		j.Main, j.LengthDays = &main, &c.Days
	}
	if c.Known() {
		worst := spread(m.WorstTenDm2)
		j.WorstTen = &worst
	}
	if !math.IsNaN(m.StoresKg[1]) {
		stores := spread(m.StoresKg)
		j.StoresKg = &stores
	}
	return j
}
