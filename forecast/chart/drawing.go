package chart

import (
	"fmt"
	"html"
	"io"
	"strings"
	"unicode"
)

// drawing gathers the body of one SVG.
type drawing struct {
	Options
	b      strings.Builder
	height float64
}

func newDrawing(o Options) *drawing { return &drawing{Options: o.withDefaults()} }

// width returns the drawing's width, px.
func (d *drawing) width() float64 { return float64(d.WidthPx) }

// escape makes a text safe inside XML: markup escaped, characters that XML
// forbids or that break a line turned into blanks.
func escape(s string) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == 0xFFFE || r == 0xFFFF {
			return ' '
		}
		return r
	}, s)
	return html.EscapeString(s)
}

// put adds markup; its arguments are numbers and texts already escaped.
func (d *drawing) put(format string, args ...any) { fmt.Fprintf(&d.b, format, args...) }

// Where a text stands from its point.
const (
	atStart  = "start"
	atMiddle = "middle"
	atEnd    = "end"
)

// text writes words at a point; class is "", "q" for quiet or "name".
func (d *drawing) text(x, y float64, anchor, class, s string) {
	attr := ""
	if class != "" {
		attr = ` class="` + class + `"`
	}
	if anchor != atStart {
		attr += ` text-anchor="` + anchor + `"`
	}
	d.put("<text x=\"%s\" y=\"%s\"%s>%s</text>\n", px(x), px(y), attr, escape(s))
}

func (d *drawing) line(class string, x1, y1, x2, y2 float64) {
	d.put("<line class=\"%s\" x1=\"%s\" y1=\"%s\" x2=\"%s\" y2=\"%s\"/>\n", class, px(x1), px(y1), px(x2), px(y2))
}

// box draws a rectangle; fill is a class or the name of a texture.
func (d *drawing) box(fill string, x, y, w, h float64) {
	d.put("<rect %s x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/>\n", d.fill(fill), px(x), px(y), px(max(w, 0)), px(h))
}

// path draws a path; fill is a class or the name of a texture.
func (d *drawing) path(fill, data string) { d.put("<path %s d=\"%s\"/>\n", d.fill(fill), data) }

// hatched is the texture of what is likely but not sure.
const hatched = "hatched"

func (d *drawing) fill(class string) string {
	if class == hatched {
		return fmt.Sprintf(`fill="url(#%s-hatch)"`, d.ID)
	}
	return `class="` + class + `"`
}

// point is a place on the drawing, px.
type point struct{ x, y float64 }

// through writes the data of a path through points, leaving out those in the
// middle of a level run.
func through(pts []point) string {
	var b strings.Builder
	for i, p := range pts {
		if i > 0 && i < len(pts)-1 && px(pts[i-1].y) == px(p.y) && px(pts[i+1].y) == px(p.y) {
			continue
		}
		if b.Len() == 0 {
			b.WriteString("M")
		} else {
			b.WriteString("L")
		}
		b.WriteString(px(p.x) + " " + px(p.y))
	}
	return b.String()
}

// writeTo closes the drawing and writes it out.
func (d *drawing) writeTo(w io.Writer, title, description string) error {
	var out strings.Builder
	fmt.Fprintf(&out, "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"btc\" viewBox=\"0 0 %d %s\" width=\"%d\" height=\"%s\" role=\"img\" aria-labelledby=\"%s-t %s-d\">\n",
		d.WidthPx, px(d.height), d.WidthPx, px(d.height), d.ID, d.ID)
	fmt.Fprintf(&out, "<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n", d.ID, escape(title), d.ID, escape(description))
	if !d.Bare {
		fmt.Fprintf(&out, "<style>%s</style>\n", CSS())
	}
	fmt.Fprintf(&out, "<defs><pattern id=\"%s-hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect class=\"soft\" width=\"5\" height=\"5\"/><line class=\"hatch\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\"/></pattern></defs>\n", d.ID)
	fmt.Fprintf(&out, "<rect class=\"paper\" width=\"%d\" height=\"%s\"/>\n", d.WidthPx, px(d.height))
	out.WriteString(d.b.String())
	out.WriteString("</svg>\n")
	_, err := io.WriteString(w, out.String())
	return err
}
