package report

import (
	"io"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
)

// CompareSetUps prints hive set-ups side by side for people, place by place:
// what differs in words, which to take, then the measures of each.
func CompareSetUps(w io.Writer, all []forecast.SetUpComparison, o Options) error {
	p := newPrinter(forecast.Forecast{}, o)
	t := p.page()
	for _, c := range all {
		name := c.Results[0].Place
		t.list(name+": what differs", p.reasons(c.Differs))
		t.heading(name + ": which to take")
		t.item("  ", p.reason(c.Advice))
		p.trialHead(t, c.Results[0])
		for _, r := range c.Results {
			p.trialRow(t, r)
		}
	}
	p.trialWords(t)
	t.list("Take care", p.reasons(hive.Cautions(all[0].Results[0].SetUp.Hive.Super)))
	return t.writeTo(w)
}

// CompareSetUpsCSV writes one row a place and set-up, as a trial has them.
func CompareSetUpsCSV(w io.Writer, all []forecast.SetUpComparison) error {
	var rows []forecast.Result
	for _, c := range all {
		rows = append(rows, c.Results...)
	}
	return TrialCSV(w, rows)
}

type jsonSetUpPlaces struct {
	Schema    string             `json:"schema"`
	IssueDate string             `json:"issue_date"`
	Places    []jsonSetUpCompare `json:"places"`
}

type jsonSetUpCompare struct {
	Place   string       `json:"place"`
	SetUps  []jsonResult `json:"set_ups"`
	Differs []string     `json:"differs"`
	Advice  string       `json:"advice"`
}

// CompareSetUpsJSON writes the comparison as one document, schema
// CompareSchema with set_ups in each of its places.
func CompareSetUpsJSON(w io.Writer, issue string, all []forecast.SetUpComparison) error {
	d := jsonSetUpPlaces{Schema: CompareSchema, IssueDate: issue, Places: []jsonSetUpCompare{}}
	p := newPrinter(forecast.Forecast{}, Options{})
	for _, c := range all {
		place := jsonSetUpCompare{Place: c.Results[0].Place, Differs: p.reasons(c.Differs), Advice: p.reason(c.Advice)}
		for _, r := range c.Results {
			place.SetUps = append(place.SetUps, newJSONResult(r))
		}
		d.Places = append(d.Places, place)
	}
	return encode(w, d)
}
