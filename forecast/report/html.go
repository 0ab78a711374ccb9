package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"
	"unicode"

	"bloomtide/forecast"
	"bloomtide/forecast/chart"
	"bloomtide/forecast/hive"
)

//go:embed page.html
var pageText string

// HTMLOptions say how a page is written.
type HTMLOptions struct {
	Units Units
}

// Figure is a chart as a page takes it.
type Figure struct {
	chart.Drawing
	Narrow, Wide template.HTML
}

// Figures makes drawings of package chart ready for a page.
func Figures(all []chart.Drawing) []Figure {
	out := make([]Figure, len(all))
	for i, d := range all {
		out[i] = Figure{d, template.HTML(d.Narrow), template.HTML(d.Wide)} // package chart escapes its texts
	}
	return out
}

// HTML writes the plan as one self-contained page: it fetches nothing, runs no
// script, reads in light and dark, and prints. The answer comes first.
func HTML(w io.Writer, f forecast.Forecast, o HTMLOptions) error {
	p := newPrinter(f, Options{Units: o.Units})
	v := pageView{
		Name: clean(f.Apiary.Name), Invented: f.Apiary.Invented, Issue: p.day(f.Issue), Years: len(f.Members),
		Flows: FlowViews(f, p.Options), Style: template.CSS(chart.CSS()), Doubts: f.Warnings, Place: p.placeText(f),
		Past: sentence(p.pastLine(f)), Made: p.madeLines(f), Cautions: p.reasons(f.Cautions),
	}
	drawn, err := chart.All(f, o.Units == US)
	if err != nil {
		return err
	}
	v.Figures = Figures(drawn)
	v.Tasks, v.Reasons = p.work(f)
	for _, t := range TaskViews(f, p.Options) {
		if t.State != overdue && !t.Group && len(v.Next) < NextTasks {
			v.Next = append(v.Next, t)
		}
	}
	for _, s := range f.Sources {
		v.Stations = append(v.Stations, stationText(f.Site, s, o.Units))
	}
	for _, b := range f.Blooms {
		if b.Feeds && b.First.Share > 0 {
			v.Blooms = append(v.Blooms, bloomView{b.Plant, b.Taxon, p.date(b.First.Likely), p.span(b.First), p.date(b.End.Likely), statusWord(b.Status), b.Source})
		}
	}
	t, err := template.New("page").Parse(pageText)
	if err != nil {
		return err
	}
	var b strings.Builder
	if err := t.Execute(&b, v); err != nil {
		return err
	}
	const noBreak = "\u00a0" // a number stays beside its percent sign
	_, err = io.WriteString(w, strings.ReplaceAll(b.String(), " %", noBreak+"%"))
	return err
}

// overdue is the state of work whose window is over.
const overdue = "overdue"

type pageView struct {
	Name, Issue, Place string
	Style              template.CSS
	Figures            []Figure
	Invented           bool
	Years              int
	Next               []TaskView
	Tasks              []workView
	Reasons            []reasonView
	Flows              []FlowView
	Blooms             []bloomView
	Stations           []string
	Past               string
	Made               []string
	Doubts             []string
	Cautions           []string
}

type bloomView struct {
	Plant, Taxon, First, Span, End, Status, Source string
}

// workView is a line of the plan: one task, or one run of looks.
type workView struct{ Day, Span, Odds, Title, State, Until string }

// reasonView is a reason with all the work that it stands for.
type reasonView struct{ Title, Why, Check, Late, Care string }

// work returns the lines of the plan, and the reasons in their order, each
// told once.
func (p printer) work(f forecast.Forecast) (lines []workView, reasons []reasonView) {
	at, told := map[string]int{}, once{}
	for _, g := range grouped(f.Tasks) {
		t := g.first
		line := workView{Day: p.weekday(t.Window.Likely), Span: p.span(t.Window), Odds: percent(t.Window.Share), Title: title(t), State: p.stateWord(t)}
		if g.last > t.N {
			line.Title = fmt.Sprintf("%s %d to %d", t.Kind.Title(), t.N, g.last)
			line.Until = p.weekday(g.until)
		} else if t.Until != 0 {
			line.Until = p.weekday(t.Until)
		}
		lines = append(lines, line)
		why := p.reason(t.Why)
		if i, ok := at[why]; ok {
			if !strings.HasSuffix(reasons[i].Title, line.Title) {
				reasons[i].Title += "; " + line.Title
			}
		} else if why != "" {
			at[why] = len(reasons)
			reasons = append(reasons, told.view(p, line.Title, t))
		}
	}
	return lines, reasons
}

// once are the words that the page has already told: what to look for and to
// beware is the same for each super.
type once map[string]bool

// view returns the reason of a task without what was told before.
func (o once) view(p printer, title string, t forecast.Task) reasonView {
	fresh := func(r hive.Reason) string {
		s := p.reason(r)
		if o[s] {
			return ""
		}
		o[s] = true
		return s
	}
	return reasonView{title, sentence(p.reason(t.Why)), fresh(t.Check), fresh(t.Late), fresh(t.Care)}
}

// sentence begins with a capital.
func sentence(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return string(unicode.ToUpper(r[0])) + string(r[1:])
}

// clean turns control characters into blanks, so that a name stays one line.
func clean(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToValidUTF8(s, "\uFFFD"), func(r rune) bool { return unicode.IsControl(r) || unicode.IsSpace(r) }), " ")
}

// placeText writes where the place lies, as far as it is known.
func (p printer) placeText(f forecast.Forecast) string {
	if !f.Site.Located() {
		return ""
	}
	text := fmt.Sprintf("%.2f°, %.2f°", f.Site.Point.Lat(), f.Site.Point.Lon())
	if m := f.Site.ElevM; !math.IsNaN(m) {
		if p.Units == US {
			return text + fmt.Sprintf(", %.0f ft above the sea", m/mPerFoot)
		}
		return text + fmt.Sprintf(", %.0f m above the sea", m)
	}
	return text
}
