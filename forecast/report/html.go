package report

import (
	_ "embed"
	"html/template"
	"io"

	"bloomtide/forecast"
)

//go:embed page.html
var pageText string

// Figure is a drawing that goes into a page as it is.
type Figure struct {
	Name string
	SVG  template.HTML // from package forecast/chart, which escapes what it is given
}

// HTMLOptions say how a page is written.
type HTMLOptions struct {
	Units   Units
	Figures []Figure
}

// HTML writes the plan as one self-contained page: it fetches nothing, runs no
// script, reads in light and dark, and prints. The answer comes first.
func HTML(w io.Writer, f forecast.Forecast, o HTMLOptions) error {
	p := newPrinter(f, Options{Units: o.Units})
	v := pageView{
		Name: f.Apiary.Name, Invented: f.Apiary.Invented, Issue: p.day(f.Issue), Years: len(f.Members),
		Tasks: TaskViews(f, p.Options), Flows: FlowViews(f, p.Options), Figures: o.Figures, Doubts: f.Warnings,
	}
	for _, t := range v.Tasks {
		if t.State != "overdue" && !t.Group && len(v.Next) < nextTasks {
			v.Next = append(v.Next, t)
		}
	}
	for _, s := range f.Sources {
		v.Stations = append(v.Stations, stationText(f.Site, s, o.Units))
	}
	for _, c := range f.Cautions {
		v.Cautions = append(v.Cautions, p.reason(c))
	}
	for _, b := range f.Blooms {
		if b.Feeds && b.First.Share > 0 {
			v.Blooms = append(v.Blooms, bloomView{b.Plant, b.Taxon, p.date(b.First.Likely), p.span(b.First), p.date(b.End.Likely), string(b.Status), b.Source})
		}
	}
	t, err := template.New("page").Parse(pageText)
	if err != nil {
		return err
	}
	return t.Execute(w, v)
}

type pageView struct {
	Name, Issue string
	Invented    bool
	Years       int
	Next, Tasks []TaskView
	Flows       []FlowView
	Blooms      []bloomView
	Figures     []Figure
	Stations    []string
	Doubts      []string
	Cautions    []string
}

type bloomView struct {
	Plant, Taxon, First, Span, End, Status, Source string
}
