package report

import (
	"fmt"
	"html"
	"io"
	"math"
	"slices"
	"strings"

	"bloomtide/forecast"
)

// Size of one panel of the chart, user units of SVG: the width of a phone, so
// that letters of 13 units are 13 pixels high there. Our own choice.
const (
	panelWidth, panelHeight = 360.0, 300.0
	panelLeft, panelRight   = 46.0, 16.0
	panelTop, panelBottom   = 82.0, 48.0
	letter                  = 13.0 // height of letters
	labelApart              = 22.0 // least distance of two labels on the axis
	mostName                = 40   // characters of a plant's name
)

// HindcastChart draws the error against the lead time, one panel a plant, as
// SVG without script or colour that carries meaning: lines differ by dashes and
// points by shape, and title and description say the same in words.
func HindcastChart(w io.Writer, s Study, all []StudyLeads) error {
	var panels []StudyLeads
	for _, l := range all {
		if len(l.Leads) > 0 {
			panels = append(panels, l)
		}
	}
	height := panelHeight * float64(max(1, len(panels)))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" role="img" aria-labelledby="t d" font-family="sans-serif" font-size="%g">`+"\n", panelWidth, height, letter)
	fmt.Fprintf(&b, "<title id=\"t\">%s: error of bloom forecasts by lead time</title>\n<desc id=\"d\">%s</desc>\n",
		html.EscapeString(clean(s.Place)), html.EscapeString(described(panels)))
	fmt.Fprintf(&b, "<rect width=\"%g\" height=\"%g\" fill=\"#fff\"/>\n", panelWidth, height)
	for i, l := range panels {
		fmt.Fprintf(&b, "<g transform=\"translate(0 %g)\">\n", panelHeight*float64(i))
		l.panel(&b)
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// described says in words what the panels show.
func described(panels []StudyLeads) string {
	var parts []string
	for _, l := range panels {
		var leads []string
		for _, v := range l.Leads {
			leads = append(leads, fmt.Sprintf("%d days before: %s days", v.Days, days1(v.MAE)))
		}
		parts = append(parts, fmt.Sprintf("%s, %s bloom, mean absolute error over %d years against %s, issued %s; the mean date of the other years misses by %s days.",
			clean(l.Plant), l.Stage, l.Leads[0].N, l.against(), strings.Join(leads, ", "), days1(l.Leads[0].MAEMeanDate)))
	}
	if len(parts) == 0 {
		return "No hindcast could be made."
	}
	return strings.Join(parts, " ")
}

// scale places values in a panel: long lead times on the left.
type scale struct{ leastLead, mostLead, mostDays float64 }

// scaleOf holds all that a panel shows.
func scaleOf(leads []forecast.Lead) scale {
	sc := scale{leastLead: 0, mostLead: 1, mostDays: 2}
	for _, v := range leads {
		sc.leastLead, sc.mostLead = min(sc.leastLead, float64(v.Days)), max(sc.mostLead, float64(v.Days))
		for _, d := range []float64{v.MAE, v.MAE90.High, v.MAEMeanDate} {
			if !math.IsNaN(d) {
				sc.mostDays = max(sc.mostDays, math.Ceil(d/2)*2)
			}
		}
	}
	return sc
}

func (s scale) x(lead float64) float64 {
	return panelWidth - panelRight - (panelWidth-panelLeft-panelRight)*(lead-s.leastLead)/(s.mostLead-s.leastLead)
}

func (s scale) y(days float64) float64 {
	return panelHeight - panelBottom - (panelHeight-panelTop-panelBottom)*days/s.mostDays
}

func (l StudyLeads) panel(b *strings.Builder) {
	leads := slices.SortedStableFunc(slices.Values(l.Leads), func(x, y forecast.Lead) int { return y.Days - x.Days })
	sc := scaleOf(leads)
	fmt.Fprintf(b, "<text x=\"8\" y=\"18\" font-weight=\"bold\">%s</text>\n", html.EscapeString(clip(clean(l.Plant), mostName)+", "+l.Stage+" bloom"))
	fmt.Fprintf(b, "<text x=\"8\" y=\"36\">%d years, against %s</text>\n", leads[0].N, html.EscapeString(l.againstBriefly()))
	legend(b)
	sc.axes(b, leads)
	sc.line(b, leads, `stroke-dasharray="6 4"`, func(v forecast.Lead) float64 { return v.MAEMeanDate })
	sc.line(b, leads, "", func(v forecast.Lead) float64 { return v.MAE })
	for _, v := range leads {
		x := sc.x(float64(v.Days))
		if !math.IsNaN(v.MAE90.Low) {
			fmt.Fprintf(b, "<line x1=\"%.1f\" x2=\"%.1f\" y1=\"%.1f\" y2=\"%.1f\" stroke=\"#000\"/>\n", x, x, sc.y(v.MAE90.Low), sc.y(v.MAE90.High))
		}
		fmt.Fprintf(b, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"4\"><title>%d days before: %s days, %d years</title></circle>\n", x, sc.y(v.MAE), v.Days, days1(v.MAE), v.N)
	}
}

// againstBriefly is against within the width of a panel.
func (l StudyLeads) againstBriefly() string {
	if l.WeatherOnly {
		return "the model with full weather"
	}
	return l.against()
}

func (s scale) axes(b *strings.Builder, leads []forecast.Lead) {
	bottom := s.y(0)
	fmt.Fprintf(b, "<path d=\"M%g %g V%.1f H%g\" fill=\"none\" stroke=\"#000\"/>\n", panelLeft, panelTop, bottom, panelWidth-panelRight)
	step := math.Max(1, math.Round(s.mostDays/5))
	for d := 0.0; d <= s.mostDays; d += step {
		fmt.Fprintf(b, "<line x1=\"%g\" x2=\"%g\" y1=\"%.1f\" y2=\"%.1f\" stroke=\"#ccc\"/><text x=\"%g\" y=\"%.1f\" text-anchor=\"end\">%g</text>\n",
			panelLeft, panelWidth-panelRight, s.y(d), s.y(d), panelLeft-6, s.y(d)+4, d)
	}
	last := math.Inf(-1)
	for _, v := range leads {
		x := s.x(float64(v.Days))
		if x-last < labelApart {
			continue
		}
		last = x
		fmt.Fprintf(b, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">%d</text>\n", x, bottom+17, v.Days)
	}
	fmt.Fprintf(b, "<text x=\"%g\" y=\"%.1f\" text-anchor=\"middle\">days before the mean date of bloom</text>\n", (panelLeft+panelWidth-panelRight)/2, bottom+36)
	fmt.Fprintf(b, "<text transform=\"translate(15 %g) rotate(-90)\" text-anchor=\"middle\">error, days</text>\n", (panelTop+panelHeight-panelBottom)/2)
}

// line joins the values of the leads.
func (s scale) line(b *strings.Builder, leads []forecast.Lead, style string, of func(forecast.Lead) float64) {
	var points []string
	for _, v := range leads {
		if d := of(v); !math.IsNaN(d) {
			points = append(points, fmt.Sprintf("%.1f,%.1f", s.x(float64(v.Days)), s.y(d)))
		}
	}
	fmt.Fprintf(b, "<polyline points=\"%s\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\" %s/>\n", strings.Join(points, " "), style)
}

// legend names the two lines above the panel, where nothing is drawn.
func legend(b *strings.Builder) {
	const long, textAt, y = 30.0, 36.0, 58.0
	for i, e := range []struct{ style, words string }{{"", "forecast, 90 % range"}, {`stroke-dasharray="6 4"`, "mean date alone"}} {
		x := 8 + 180*float64(i)
		fmt.Fprintf(b, "<line x1=\"%g\" x2=\"%g\" y1=\"%g\" y2=\"%g\" stroke=\"#000\" stroke-width=\"2\" %s/><text x=\"%g\" y=\"%g\">%s</text>\n",
			x, x+long, y-4, y-4, e.style, x+textAt, y, e.words)
	}
}
