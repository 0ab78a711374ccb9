package report

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"bloomtide/forecast"
)

// TrialSchema names the JSON document of a trial and its version.
const TrialSchema = "bloomtide/trial/1"

type jsonTrial struct {
	Schema    string       `json:"schema"`
	IssueDate string       `json:"issue_date"`
	Results   []jsonResult `json:"results"`
}

type jsonResult struct {
	Place           string      `json:"place"`
	Invented        bool        `json:"invented"`
	SetUp           string      `json:"set_up"`
	BroodBox        string      `json:"brood_box"`
	BroodBoxes      int         `json:"brood_boxes"`
	Super           string      `json:"super"`
	Upfront         int         `json:"supers_up_front"`
	MostSupers      *int        `json:"most_supers"`
	VisitDays       *int        `json:"visit_days"`
	Year            int         `json:"year"`
	Members         int         `json:"members"`
	HoneyBoundShare float64     `json:"honey_bound_share"`
	BoundDays       *jsonSpread `json:"honey_bound_days"`
	CongestedDays   *jsonSpread `json:"congested_days"`
	SwarmDays       *jsonSpread `json:"swarm_risk_days"`
	HarvestKg       *jsonSpread `json:"harvest_kg"`
	UnripeKg        *jsonSpread `json:"unripe_kg"`
	Supers          *jsonSpread `json:"supers"`
	Openings        *jsonSpread `json:"openings"`
	LiftedKg        *jsonSpread `json:"lifted_kg"`
	WinterKg        *jsonSpread `json:"winter_stores_kg"`
	WantKg          *jsonSpread `json:"winter_wanted_kg"`
	ShortShare      float64     `json:"winter_short_share"`
	SyrupL          *jsonSpread `json:"syrup_l"`
}

// TrialJSON writes a trial as one document, schema TrialSchema. Amounts of
// honey are null where the cover of the stands is not known.
func TrialJSON(w io.Writer, issue string, all []forecast.Result) error {
	d := jsonTrial{Schema: TrialSchema, IssueDate: issue, Results: []jsonResult{}}
	for _, r := range all {
		d.Results = append(d.Results, newJSONResult(r))
	}
	return encode(w, d)
}

func newJSONResult(r forecast.Result) jsonResult {
	p, h := r.SetUp.Practice, r.SetUp.Hive
	s := func(x forecast.Spread) *jsonSpread {
		v := spread(x)
		return &v
	}
	kg := func(x forecast.Spread) *jsonSpread {
		if r.Relative {
			return nil
		}
		return s(x)
	}
	positive := func(n int) *int {
		if n == 0 {
			return nil
		}
		return &n
	}
	return jsonResult{
		Place: r.Place, Invented: r.Invented, SetUp: r.SetUp.Name,
		BroodBox: h.BroodBox.Name, BroodBoxes: h.BroodBoxes, Super: h.Super.Name,
		Upfront: max(p.Upfront, 1), MostSupers: positive(p.MostSupers), VisitDays: positive(p.VisitDays),
		Year: r.Year, Members: r.Members,
		HoneyBoundShare: rounded(r.HoneyBoundShare, 3), BoundDays: s(r.BoundDays), CongestedDays: s(r.CongestedDays),
		SwarmDays: s(r.SwarmDays), HarvestKg: kg(r.HarvestKg), UnripeKg: kg(r.UnripeKg), Supers: s(r.Supers),
		Openings: s(r.Openings), LiftedKg: kg(r.LiftedKg), WinterKg: kg(r.WinterKg), WantKg: s(r.WantKg),
		ShortShare: rounded(r.ShortShare, 3), SyrupL: kg(r.SyrupL),
	}
}

// TrialCSV writes one row a place and set-up, with the middle of the members.
func TrialCSV(w io.Writer, all []forecast.Result) error {
	rows := [][]string{{"place", "set_up", "year", "members", "honey_bound_share", "honey_bound_days", "congested_days", "swarm_risk_days",
		"harvest_kg", "unripe_kg", "supers", "openings", "lifted_kg", "winter_stores_kg", "winter_wanted_kg", "winter_short_share", "syrup_l"}}
	for _, r := range all {
		n := func(x forecast.Spread) string { return strconv.FormatFloat(x.Median(), 'f', 1, 64) }
		kg := func(x forecast.Spread) string {
			if r.Relative {
				return ""
			}
			return n(x)
		}
		rows = append(rows, []string{r.Place, r.SetUp.Name, strconv.Itoa(r.Year), strconv.Itoa(r.Members),
			share(r.HoneyBoundShare), n(r.BoundDays), n(r.CongestedDays), n(r.SwarmDays), kg(r.HarvestKg), kg(r.UnripeKg),
			n(r.Supers), n(r.Openings), kg(r.LiftedKg), kg(r.WinterKg), n(r.WantKg), share(r.ShortShare), kg(r.SyrupL)})
	}
	return writeCSV(w, rows)
}

// Trial prints a trial for people, place by place.
func Trial(w io.Writer, all []forecast.Result, o Options) error {
	p := newPrinter(forecast.Forecast{}, o)
	t := p.page()
	for i, r := range all {
		if i == 0 || all[i-1].Place != r.Place {
			p.trialHead(t, r)
		}
		p.trialRow(t, r)
	}
	p.trialWords(t)
	return t.writeTo(w)
}

func (p printer) trialWords(t *page) {
	t.heading("How to read it")
	t.item("  ", "Bound: share of past years in which honey filled the brood nest for a week or more while the queen wanted to lay. Then, for the middle year, the days congested (cong), those of them in the swarm season, honey taken and how much of it was unripe (wet), supers in use, openings, weight of supers lifted, syrup fed.")
	t.item("  ", "Every figure comes out of the daily simulation; thresholds and rates are in \"bloomtide assumptions\".")
}

func (p printer) trialHead(t *page, r forecast.Result) {
	name := r.Place
	if r.Invented {
		name += " (invented)"
	}
	t.heading(fmt.Sprintf("%s: hive set-ups in %d, over %d courses of weather", name, r.Year, r.Members))
	t.line(fmt.Sprintf("  %-28s %5s %4s %5s %5s %4s %3s %4s %5s %5s", "", "bound", "cong", "swarm", "honey", "wet", "sup", "open", "lifts", "syrup"))
}

func (p printer) trialRow(t *page, r forecast.Result) {
	mass := func(x forecast.Spread) string { return "-" }
	litres := mass
	if !r.Relative {
		perMass, perVolume := 1.0, 1.0
		if p.Units == US {
			perMass, perVolume = kgPerLb, lPerQt
		}
		mass = func(x forecast.Spread) string { return whole(x.Median() / perMass) }
		litres = func(x forecast.Spread) string { return whole(x.Median() / perVolume) }
	}
	t.line(fmt.Sprintf("  %-28s %5s %4s %5s %5s %4s %3s %4s %5s %5s", clip(r.SetUp.Name, 28), percent(r.HoneyBoundShare),
		whole(r.CongestedDays.Median()), whole(r.SwarmDays.Median()), mass(r.HarvestKg), mass(r.UnripeKg),
		whole(r.Supers.Median()), whole(r.Openings.Median()), mass(r.LiftedKg), litres(r.SyrupL)))
}

func whole(x float64) string { return strconv.FormatFloat(math.Round(x)+0, 'f', 0, 64) }
