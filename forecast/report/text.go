package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"bloomtide/ingest/weather"

	"github.com/mitchellh/go-wordwrap"
	"github.com/paulmach/orb/geo"
)

// page gathers lines for a terminal of a given width.
type page struct {
	b     strings.Builder
	width int
	bold  bool
}

// heading starts a section.
func (t *page) heading(s string) {
	if t.b.Len() > 0 {
		t.b.WriteByte('\n')
	}
	t.line(t.strong(s))
}

// list writes a section of several paragraphs.
func (t *page) list(heading string, all []string) {
	t.heading(heading)
	for _, s := range all {
		t.item("  - ", s)
	}
}

// boldOn and boldOff stand for the terminal's codes until a line is written, so
// that codes in names and texts can be told from ours: private characters.
const (
	boldOn  = "\ue000"
	boldOff = "\ue001"
)

// strong marks words by terminal codes where they are wanted.
func (t *page) strong(s string) string {
	if !t.bold {
		return s
	}
	return boldOn + s + boldOff
}

// line writes one line without blanks at its end. Control characters, which a
// file or a setting may bring along to steer the terminal, are dropped.
func (t *page) line(s string) {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, strings.TrimRight(s, " "))
	on, off := "", ""
	if t.bold {
		on, off = "\x1b[1m", "\x1b[0m" // select graphic rendition of ECMA-48: bold, default
	}
	t.b.WriteString(strings.NewReplacer(boldOn, on, boldOff, off).Replace(s) + "\n")
}

// glue is a blank at which no line ends: the no-break space.
const glue = "\u00a0"

// item writes a paragraph that hangs below its lead. A number stays beside its
// percent sign.
func (t *page) item(lead, s string) {
	indent := utf8.RuneCountInString(lead)
	wrapped := wordwrap.WrapString(strings.ReplaceAll(s, " %", glue+"%"), uint(max(t.width-indent, 20)))
	for i, l := range strings.Split(wrapped, "\n") {
		if i > 0 {
			lead = strings.Repeat(" ", indent)
		}
		t.line(lead + strings.ReplaceAll(strings.TrimSpace(l), glue, " "))
	}
}

func (t *page) writeTo(w io.Writer) error {
	_, err := io.WriteString(w, t.b.String())
	return err
}

// clip shortens a name to n characters.
func clip(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return string([]rune(s)[:n-1]) + "…"
}

// stationText names a station and how far and how much higher than the place
// it stands.
func stationText(place, s weather.Site, u Units) string {
	out := s.ID
	if s.Name != "" && s.Name != s.ID {
		out += " " + s.Name
	}
	if s.Located() && place.Located() {
		out += ", " + u.Distance(geo.Distance(s.Point, place.Point)/1000) + " away"
	}
	if rise := s.ElevM - place.ElevM; !math.IsNaN(rise) && math.Abs(rise) >= 1 {
		out += ", " + u.Height(rise)
	}
	return out
}

// kmPerMile and mPerFoot are exact by definition of the international units.
const (
	kmPerMile = 1.609344
	mPerFoot  = 0.3048
)

// Distance writes a distance in km in the user's units.
func (u Units) Distance(km float64) string {
	if u == US {
		return fmt.Sprintf("%.0f mi", km/kmPerMile)
	}
	return fmt.Sprintf("%.0f km", km)
}

// Height writes a difference of height in m in the user's units.
func (u Units) Height(m float64) string {
	word := "higher"
	if m < 0 {
		word = "lower"
	}
	if u == US {
		return fmt.Sprintf("%.0f ft %s", math.Abs(m)/mPerFoot, word)
	}
	return fmt.Sprintf("%.0f m %s", math.Abs(m), word)
}
