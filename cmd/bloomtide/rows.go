package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest/records"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// writeRows writes a forage table, the keeper's own or the program's, with the
// fitted rows in place of its own, and rows for plants that it does not have at
// its end.
//
//	own  the keeper's table; empty: the program's
func (s *study) writeRows(to io.Writer, own string, fits []report.StudyFit) error {
	content := config.ForageCSV()
	if own != "" {
		var err error
		if content, err = os.ReadFile(own); err != nil {
			return err
		}
	}
	in := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(content, []byte("\ufeff"))))
	in.Comment, in.TrimLeadingSpace = '#', true // as package config reads it
	rows, err := in.ReadAll()
	if err != nil {
		return err
	}
	for i, h := range rows[0] {
		rows[0][i] = strings.ToLower(strings.TrimSpace(h))
	}
	t := forageTable{head: rows[0], rows: rows[1:]}
	all, _ := config.ForageColumns()
	t.want(all...)
	for i, f := range fits {
		row, ok := f.Fit.ForTable()
		if !ok {
			continue
		}
		t.put(s.groups[i], f, row)
	}
	out := csv.NewWriter(to)
	if err := out.Write(t.head); err != nil {
		return err
	}
	return out.WriteAll(t.rows)
}

// forageTable is a forage table as text, so that what is not fitted stays as
// it was written.
type forageTable struct {
	head []string
	rows [][]string
}

// want adds columns that the table does not have.
func (t *forageTable) want(columns ...string) {
	for _, c := range columns {
		if slices.Contains(t.head, c) {
			continue
		}
		t.head = append(t.head, c)
		for i := range t.rows {
			t.rows[i] = append(t.rows[i], "")
		}
	}
}

func (t *forageTable) at(row []string, column string) *string {
	return &row[slices.Index(t.head, column)]
}

// put writes one fit into the row of its plant. First bloom sets the row; full
// and end of bloom are put on the same clock, and set it where the first has
// not been seen.
func (t *forageTable) put(g studyGroup, f report.StudyFit, fitted calibrate.TableRow) {
	name := g.plant
	if g.table != nil {
		name = g.table.Model.Plant
	}
	row := t.row(name)
	own := strings.HasPrefix(*t.at(row, "source"), fittedBy)
	stage := fitted.Stage
	if own && g.stage != records.First {
		stage = t.clockOf(row) // the row is already on the clock of an earlier stage
	}
	need := func(shift float64) float64 {
		return f.Fit.HeatAt(stage, func(y calibrate.Year) float64 { return y.Seen + shift })
	}
	if own && g.stage != records.First {
		if *t.at(row, "unit") != inDays {
			*t.at(row, column(g.stage)) = heat(need(0))
			t.inOrder(row)
		}
		return
	}
	first, last := f.Fit.Years[0].Year, f.Fit.Years[0].Year
	for _, y := range f.Fit.Years {
		first, last = min(first, y.Year), max(last, y.Year)
	}
	t.model(row, g, stage)
	if stage.Family != phenology.FixedDate && g.stage != records.First {
		*t.at(row, "onset") = heat(need(-before(g)))
	}
	*t.at(row, "relative_sd") = strconv.FormatFloat(min(max(fitted.RelativeSD, 0.01), 0.9), 'f', 3, 64)
	*t.at(row, "status") = string(phenology.Fitted)
	*t.at(row, "source") = fmt.Sprintf("%s: n %d, %d to %d, RMSE %.1f d in years not seen", fittedBy, len(f.Fit.Years), first, last, fitted.RMSE)
	if *t.at(row, "bloom_days") == "" {
		*t.at(row, "bloom_days"), *t.at(row, "bloom_days_source") = "14", "not known; assumed"
	}
}

// model writes degree days, or a date, into a row.
func (t *forageTable) model(row []string, g studyGroup, stage phenology.Stage) {
	for _, c := range []string{"onset", "full", "end", "upper", "base", "method", "light", "after"} {
		*t.at(row, c) = ""
	}
	if stage.Family == phenology.FixedDate {
		days := stage.Need
		if g.stage != records.First {
			days -= before(g)
		}
		*t.at(row, "unit"), *t.at(row, "biofix") = inDays, phenology.Biofix{}.String()
		*t.at(row, "onset") = strconv.FormatFloat(math.Round(max(days, 0)), 'f', -1, 64)
		return
	}
	*t.at(row, column(g.stage)) = heat(stage.Need)
	*t.at(row, "unit"), *t.at(row, "biofix") = "Cdd", report.BiofixText(stage.Start)
	*t.at(row, "base") = strconv.FormatFloat(float64(stage.Clock.Thresholds.Lower), 'f', -1, 64)
	*t.at(row, "method"), *t.at(row, "light") = stage.Clock.Method.String(), stage.Clock.Light.String()
}

// inOrder empties a later stage that needs no more heat than an earlier one:
// its years were others.
func (t *forageTable) inOrder(row []string) {
	last := 0.0
	for _, name := range []string{"onset", "full", "end"} {
		v, err := strconv.ParseFloat(*t.at(row, name), 64)
		if err == nil && v <= last {
			*t.at(row, name) = ""
			continue
		}
		last = max(last, v)
	}
}

// inDays is the unit of rows with a fixed date.
const inDays = "days"

// fittedBy begins the source of rows that calibrate writes.
const fittedBy = "own bloom dates, bloomtide calibrate"

// before is how many days first bloom is put before the stage: as the table has
// it, else a quarter of the length of bloom before full bloom. Our own choice.
func before(g studyGroup) float64 {
	length := 14.0
	if g.table != nil {
		length = g.table.Model.BloomDays
	}
	if g.stage == records.End {
		return length
	}
	return max(2, length/4)
}

func column(s records.Stage) string {
	if s == records.First {
		return "onset"
	}
	return string(s)
}

func heat(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// row returns the row of a plant, a new one where there is none.
func (t *forageTable) row(plant string) []string {
	for _, r := range t.rows {
		if plainName(*t.at(r, "plant")) == plainName(plant) {
			return r
		}
	}
	r := make([]string, len(t.head))
	*t.at(r, "plant") = plant
	t.rows = append(t.rows, r)
	return r
}

// clockOf reads back the clock that put wrote.
func (t *forageTable) clockOf(row []string) phenology.Stage {
	g := phenology.Stage{Family: phenology.ThermalTime}
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	out.Write(t.head)
	out.Write(row)
	out.Flush()
	if plants, err := config.ReadForage("forage.csv", &b); err == nil && len(plants) == 1 {
		g.Clock = plants[0].Model.Clock
		g.Start = int(plants[0].Model.Biofix.In(0, 2001) - phenology.YearStart(0, 2001))
	}
	return g
}
