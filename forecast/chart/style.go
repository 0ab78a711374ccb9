package chart

import (
	"fmt"
	"strings"
)

// Colours are our own choice. Text against paper has a contrast of 7:1 or
// more and lines of 4:1 or more, computed by the formula of WCAG 2.2; a test
// holds it.
type palette struct {
	paper, ink, quiet, rule, first, firstSoft, second string
}

// The two palettes: ink on light paper, and light ink on dark.
var (
	light = palette{"#fdfcf8", "#22261f", "#4a5146", "#d5d7cd", "#1e5f74", "#c3dbe0", "#8c3b17"}
	dark  = palette{"#191c18", "#eceee6", "#bcc2b5", "#3c423a", "#7cc4d8", "#23444d", "#f0a67f"}
)

// rules returns the style of every mark in one palette.
func (p palette) rules() string {
	return strings.NewReplacer(
		"PAPER", p.paper, "INK", p.ink, "QUIET", p.quiet, "RULE", p.rule,
		"SOFT", p.firstSoft, "FIRST", p.first, "SECOND", p.second,
	).Replace(`.btc text{fill:INK;stroke:PAPER;stroke-width:3px;stroke-linejoin:round;paint-order:stroke}` +
		`.btc .q{fill:QUIET}` +
		`.btc .paper{fill:PAPER}` +
		`.btc .rule{stroke:RULE;stroke-width:1;fill:none}` +
		`.btc .axis{stroke:QUIET;stroke-width:1;fill:none}` +
		`.btc .band{fill:SOFT;stroke:FIRST;stroke-width:.75;stroke-dasharray:2 2}` +
		`.btc .fill{fill:FIRST}` +
		`.btc .soft{fill:SOFT}` +
		`.btc .hatch{stroke:FIRST;stroke-width:1.5}` +
		`.btc .line{fill:none;stroke:FIRST;stroke-width:2.25;stroke-linejoin:round}` +
		`.btc .thin{fill:none;stroke:FIRST;stroke-width:1.25;stroke-dasharray:5 2}` +
		`.btc .step{fill:none;stroke:SECOND;stroke-width:2.5;stroke-dasharray:7 3}` +
		`.btc .limit{fill:none;stroke:SECOND;stroke-width:1.5;stroke-dasharray:2 3}` +
		`.btc .flag{stroke:SECOND;stroke-width:1.25;fill:none}` +
		`.btc .dot{fill:SECOND;stroke:PAPER;stroke-width:1}`)
}

// CSS returns the style sheet of all charts, for a page that holds several and
// draws them Bare. It follows the reader's choice of light or dark and prints
// light.
func CSS() string {
	return `.btc{font-family:system-ui,"Segoe UI",Roboto,"Noto Sans","DejaVu Sans",sans-serif;font-size:12px;font-variant-numeric:tabular-nums}` +
		`.btc .name{font-weight:600}` + light.rules() +
		fmt.Sprintf("@media screen and (prefers-color-scheme:dark){%s}", dark.rules()) +
		`@media print{.btc .paper{fill:none}.btc text{stroke:#fff}}`
}
