package web

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bloomtide/forecast"
	"bloomtide/forecast/chart"
	"bloomtide/forecast/report"
)

// comparePage sets several questions side by side.
type comparePage struct {
	common
	Columns         []column
	Rows            []compareRow
	Differs, Advice []string
	Chart           drawing
	Axis            string
	Places          []Place
	Full            bool // no further one fits
}

// column is one question of a comparison.
type column struct {
	Name   string
	Open   template.URL // its own page
	Drop   template.URL // the comparison without it
	Hidden string       // its choices, for the form that adds another
}

type compareRow struct {
	Name  string
	Cells []string
}

// compare shows the questions of the address, each the query of a plan; with
// none, the listed places.
func (s *site) compare(w http.ResponseWriter, r *http.Request) {
	values := r.URL.Query()
	queries := values["q"]
	if add := values.Get("add"); add != "" {
		queries = append(queries, Ask{Place: add}.query())
	}
	for _, p := range s.Places() {
		if len(values["q"]) > 0 && len(queries) >= forecast.FewestCompared || len(queries) >= forecast.MostCompared {
			break
		}
		if q := (Ask{Place: p.ID}).query(); !slices.Contains(queries, q) {
			queries = append(queries, q)
		}
	}
	p := comparePage{common: common{Base: s.Base, Title: "Compare", Here: "compare"}, Axis: values.Get("axis"), Places: s.Places(), Full: len(queries) >= forecast.MostCompared}
	var all []forecast.Forecast
	look := report.Options{}
	for i, query := range queries {
		q, err := s.questionOf(query)
		if err != nil {
			s.refuse(w, r, err)
			return
		}
		f, err := s.cache.get(r.Context(), q.full)
		if err != nil {
			s.refuse(w, r, err)
			return
		}
		look = q.look()
		f.Apiary.Name = apart(f, q, all)
		all = append(all, f)
		p.Columns = append(p.Columns, s.column(f, queries, i))
	}
	if err := p.fill(all, look); err != nil {
		s.refuse(w, r, err)
		return
	}
	s.show(w, r, "compare.html", p)
}

// apart returns the name of a question's place; where that place is compared
// already, with what was chosen for it.
func apart(f forecast.Forecast, q question, before []forecast.Forecast) string {
	name := f.Apiary.Name
	if f.Apiary.Invented {
		name += " (invented)"
	}
	twice := slices.ContainsFunc(before, func(b forecast.Forecast) bool { return strings.HasPrefix(b.Apiary.Name, f.Apiary.Name) })
	if !twice {
		return name
	}
	var chosen []string
	a, own := q.full, q.place.Ask
	add := func(differs bool, format string, args ...any) {
		if differs {
			chosen = append(chosen, fmt.Sprintf(format, args...))
		}
	}
	add(a.Issue != own.Issue, "issued %s", a.Issue)
	add(!slices.Equal(a.Stands, own.Stands), "other forage")
	add(a.BroodBoxes != own.BroodBoxes || a.BroodBox != own.BroodBox, "%d × %s", a.BroodBoxes, a.BroodBox)
	add(a.Super != own.Super, "super %s", a.Super)
	add(a.Colonies != own.Colonies, "%s colonies", num(a.Colonies))
	if len(chosen) == 0 {
		chosen = []string{"as it is"}
	}
	return fmt.Sprintf("%s, %d: %s", name, len(before)+1, strings.Join(chosen, ", "))
}

func (s *site) column(f forecast.Forecast, queries []string, i int) column {
	rest := url.Values{}
	for k, q := range queries {
		if k != i {
			rest.Add("q", reencode(q))
		}
	}
	c := column{Name: f.Apiary.Name, Hidden: reencode(queries[i]), Open: template.URL(s.Base + "/?" + reencode(queries[i]))}
	if len(queries) > forecast.FewestCompared {
		c.Drop = template.URL(s.Base + "/compare?" + rest.Encode())
	}
	return c
}

// reencode makes a query that came inside another one safe to write out.
func reencode(query string) string {
	a, err := parseQuery(query)
	if err != nil {
		return ""
	}
	return a.query()
}

// sentence begins a clause with a capital letter and ends it with a full stop,
// where it has none yet.
func sentence(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + strings.TrimSuffix(s[size:], ".") + "."
}

func (p *comparePage) fill(all []forecast.Forecast, look report.Options) error {
	c, err := forecast.Compare(all)
	if err != nil {
		return err
	}
	for _, x := range c.Differs {
		p.Differs = append(p.Differs, sentence(report.ReasonText(all[0], x, look)))
	}
	for _, x := range c.Advice {
		p.Advice = append(p.Advice, sentence(report.ReasonText(all[0], x, look)))
	}
	p.Rows = compareRows(c, look.Units)
	axis, err := chart.ParseAxis(p.Axis)
	if err != nil {
		return &badQuery{"time axis", p.Axis, "use day or flow"}
	}
	for _, size := range []struct {
		id    string
		width int
		to    *template.HTML
	}{{"n", chart.Narrow, &p.Chart.Narrow}, {"w", chart.Wide, &p.Chart.Wide}} {
		var b bytes.Buffer
		if err := chart.Aligned(&b, c, axis, chart.Options{ID: "flows-" + size.id, WidthPx: size.width, US: look.Units == report.US, Bare: true}); err != nil {
			return err
		}
		*size.to = template.HTML(b.String())
	}
	return nil
}
