package report

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// PlanCSV writes one row a task. Texts that a spreadsheet would take for a
// formula are kept as text by a leading apostrophe.
func PlanCSV(w io.Writer, f forecast.Forecast) error {
	p := newPrinter(f, Options{})
	rows := [][]string{{"kind", "n", "year", "title", "early", "likely", "late", "until", "share", "why", "uid", "check", "if_late", "care", "hangs_on"}}
	for _, t := range f.Tasks {
		rows = append(rows, []string{
			string(t.Kind), strconv.Itoa(t.N), strconv.Itoa(t.Year), title(t),
			t.Window.Early.String(), t.Window.Likely.String(), t.Window.Late.String(), optional(t.Until),
			share(t.Window.Share), p.reason(t.Why), taskUID(f, t), p.reason(t.Check), p.reason(t.Late), p.reason(t.Care), strings.Join(hangsOn(f, t), "; "),
		})
	}
	return writeCSV(w, rows)
}

// BloomCSV writes one row a plant. A plant that reaches no bloom has share 0
// and empty dates.
func BloomCSV(w io.Writer, f forecast.Forecast) error {
	rows := [][]string{{"plant", "taxon", "year", "stage", "early", "likely", "late", "share", "status", "source", "uid"}}
	for _, b := range f.Blooms {
		for _, s := range stages(b) {
			row := []string{b.Plant, b.Taxon, strconv.Itoa(b.Year), s.name, "", "", "", share(s.w.Share), string(b.Status), b.Source, bloomUID(f, b)}
			if s.w.Share > 0 {
				row[4], row[5], row[6] = s.w.Early.String(), s.w.Likely.String(), s.w.Late.String()
			}
			rows = append(rows, row)
		}
	}
	return writeCSV(w, rows)
}

type stage struct {
	name string
	w    forecast.Window
}

func stages(b forecast.BloomWindow) []stage {
	return []stage{{"first", b.First}, {"full", b.Full}, {"end", b.End}}
}

func writeCSV(w io.Writer, rows [][]string) error {
	for _, row := range rows {
		for i, cell := range row {
			row[i] = plain(cell)
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// plain keeps a spreadsheet from running a cell.
func plain(cell string) string {
	if cell == "" {
		return cell
	}
	switch cell[0] {
	case '=', '+', '-', '@', '\t', '\r':
		return "'" + cell
	}
	return cell
}

// share writes a share of 0 to 1 with three decimals.
func share(x float64) string { return strconv.FormatFloat(x, 'f', 3, 64) }

// optional writes a date that may be absent.
func optional(d weather.Date) string {
	if d == 0 {
		return ""
	}
	return d.String()
}
