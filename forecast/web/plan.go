package web

import (
	"bytes"
	"cmp"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/chart"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/report"
)

// question is an address read: the place, what was chosen, and what is asked
// once the place's own settings are under it.
type question struct {
	place  Place
	chosen Ask
	full   Ask
}

// question reads the choices of a request and finds their place.
func (s *site) question(r *http.Request) (question, error) { return s.questionOf(r.URL.RawQuery) }

func (s *site) questionOf(query string) (question, error) {
	a, err := parseQuery(query)
	if err != nil {
		return question{}, err
	}
	var p Place
	if a.Place == "" && a.Point == nil {
		p = s.Places()[0]
		a.Place = p.ID
	} else if p, err = s.Find(a.Place, a.Point); err != nil {
		return question{}, err
	}
	full := a.over(p.Ask)
	if full.Issue == 0 {
		full.Issue = s.Today()
	}
	return question{p, a, full}, nil
}

// planPage is what the page of a plan shows.
type planPage struct {
	common
	Place     Place
	Ask, Full Ask
	Issue     string // in words
	Late      []taskRow
	Next      []taskRow
	Tasks     []taskRow
	Flows     []report.FlowView
	Charts    []drawing
	Past      string
	Warnings  []string
	Cautions  []string
	Members   int
	Relative  bool
	Form      form
	Notes     []noteRow
	Feed      feedLinks
	Flash     string
}

// taskRow is a task with what the keeper has recorded of it.
type taskRow struct {
	report.TaskView
	More []string // what to look for, what to do when late, what to beware
	Done string   // day on which it was done, in words
}

// taskRows are the tasks of a plan in whole sentences.
func taskRows(f forecast.Forecast, look report.Options) []taskRow {
	out := make([]taskRow, len(f.Tasks))
	for i, v := range report.TaskViews(f, look) {
		t := f.Tasks[i]
		v.Why = sentence(v.Why)
		out[i] = taskRow{TaskView: v}
		for _, more := range []struct {
			lead string
			of   hive.Reason
		}{{"Look for: ", t.Check}, {"If late: ", t.Late}, {"Take care: ", t.Care}} {
			if text := report.ReasonText(f, more.of, look); text != "" {
				out[i].More = append(out[i].More, sentence(more.lead+text))
			}
		}
	}
	return out
}

// drawing is one chart, drawn for a phone and for a desk.
type drawing struct {
	ID, Name     string
	Narrow, Wide template.HTML
	Table        chart.Table
}

// nextTasks is how many tasks the answer at the top names.
const nextTasks = 3

func (s *site) plan(w http.ResponseWriter, r *http.Request) {
	q, err := s.question(r)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	f, err := s.cache.answer(r.Context(), q.full)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	notes, err := s.Log.Notes(q.place.ID)
	if err != nil {
		s.fault(w, err)
		return
	}
	now := &sheet{host: r.Host, query: q.chosen.query(), notes: notes}
	if kept := f.sheet.Load(); kept.fits(now) && takesPacked(r) {
		sendPacked(w, kept.packed)
		return
	}
	p, err := s.planPage(q, f, notes)
	if err != nil {
		s.fault(w, err)
		return
	}
	p.Feed = s.feedLinks(r, q)
	var b bytes.Buffer
	if err := s.templates.ExecuteTemplate(&b, "plan.html", p); err != nil {
		s.fault(w, err)
		return
	}
	if !takesPacked(r) {
		send(w, r, htmlType, b.Bytes())
		return
	}
	now.packed = packed(b.Bytes())
	f.sheet.Store(now)
	sendPacked(w, now.packed)
}

const htmlType = "text/html; charset=utf-8"

// sendPacked sends a page that is compressed already.
func sendPacked(w http.ResponseWriter, packed []byte) {
	w.Header().Set("Content-Type", htmlType)
	w.Header().Set("Content-Encoding", "gzip")
	w.Header().Set("Vary", "Accept-Encoding")
	_, _ = w.Write(packed) // a reader that went away is no fault
}

func (s *site) planPage(q question, a *answer, notes []Note) (planPage, error) {
	look, f := q.look(), a.forecast
	p := planPage{
		common: common{Base: s.Base, Title: f.Apiary.Name, Here: "plan", Query: q.chosen.query()},
		Place:  q.place, Ask: q.chosen, Full: q.full,
		Issue: report.DayText(f.Issue, look.Units), Flows: report.FlowViews(f, look),
		Past:     report.PastText(f, look),
		Warnings: f.Warnings, Members: len(f.Members), Relative: f.Apiary.Relative,
		Form: s.form(q), Notes: noteRows(notes, look.Units),
	}
	for _, c := range f.Cautions {
		p.Cautions = append(p.Cautions, report.ReasonText(f, c, look))
	}
	p.sortTasks(taskRows(f, look), notes, look.Units)
	drawn, err := a.drawn()
	p.Charts = drawings(drawn)
	return p, err
}

// sortTasks splits the plan into what is next, what may have been missed, and
// all of it.
func (p *planPage) sortTasks(all []taskRow, notes []Note, u report.Units) {
	done := map[string]string{}
	for _, n := range notes {
		if n.Kind == NoteDone {
			done[n.Task] = report.DayText(n.Day, u)
		}
	}
	for _, t := range all {
		t.Done = done[t.UID]
		p.Tasks = append(p.Tasks, t)
		switch {
		case t.Done != "":
		case t.State == "overdue":
			p.Late = append(p.Late, t)
		case len(p.Next) < nextTasks && !slices.ContainsFunc(p.Next, func(n taskRow) bool { return t.Group && n.Kind == t.Kind }):
			p.Next = append(p.Next, t)
		}
	}
}

// look returns how the reader wants to read.
func (q question) look() report.Options {
	if q.full.US {
		return report.Options{Units: report.US}
	}
	return report.Options{Units: report.Metric}
}

// drawings are the charts of a page.
func drawings(all []chart.Drawing) []drawing {
	out := make([]drawing, len(all))
	for i, d := range all {
		// Our own drawing: texts in it are escaped there.
		out[i] = drawing{d.ID, d.Name, template.HTML(d.Narrow), template.HTML(d.Wide), d.Table}
	}
	return out
}

// form is what the reader may change.
type form struct {
	Places        []Place
	Plants, Boxes []string
	Stands        []Stand // those asked about, and free rows
	BroodBox      string
	Super         string
	BroodBoxes    int
	Colonies      float64
}

// freeRows are the empty lines for further plants.
const freeRows = 3

func (s *site) form(q question) form {
	f := form{
		Places: s.Places(), Plants: s.Plants, Boxes: s.Boxes, Stands: slices.Clone(q.full.Stands),
		BroodBox: q.full.BroodBox, Super: q.full.Super, BroodBoxes: cmp.Or(q.full.BroodBoxes, 2), Colonies: q.full.Colonies,
	}
	if !slices.ContainsFunc(f.Places, func(p Place) bool { return p.ID == q.chosen.Place }) {
		here := q.place
		here.ID = q.chosen.Place
		f.Places = append([]Place{here}, f.Places...)
	}
	for range freeRows {
		f.Stands = append(f.Stands, Stand{})
	}
	return f
}

// planFile writes the plan for other programs.
func (s *site) planFile(w http.ResponseWriter, r *http.Request) {
	q, err := s.question(r)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	f, err := s.cache.get(r.Context(), q.full)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	var b bytes.Buffer
	write, kind := report.PlanJSON, "application/json"
	if strings.HasSuffix(r.URL.Path, ".csv") {
		write, kind = report.PlanCSV, "text/csv; charset=utf-8"
		w.Header().Set("Content-Disposition", `attachment; filename="plan.csv"`)
	}
	if err := write(&b, f); err != nil {
		s.fault(w, err)
		return
	}
	send(w, r, kind, b.Bytes())
}
