package records

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"bloomtide/ingest/weather"
)

// Options of Read.
type Options struct {
	Name   string  // of the file, for messages
	LatDeg float64 // latitude of the place: the year runs from July to June south of the equator
}

// Observations are what a file holds.
type Observations struct {
	Seen []Observation // by the order of the file
	Bad  []error       // *weather.SyntaxError, one for each line that is left out or doubtful

	SiteIDs bool // places are sites with a weather of their own, by a column site_id
}

// Read reads bloom dates. The error is a *weather.SyntaxError where the file as
// a whole cannot be what it should be, or what the reader returned.
func Read(r io.Reader, o Options) (Observations, error) {
	b := bufio.NewReader(r)
	if lead, _ := b.Peek(3); string(lead) == "\ufeff" {
		b.Discard(3)
	}
	start, _ := b.Peek(4096)
	in := csv.NewReader(b)
	in.Comma, in.Comment = separator(string(start)), '#'
	in.FieldsPerRecord = -1
	in.LazyQuotes = true
	in.TrimLeadingSpace = true
	header, err := in.Read()
	if errors.Is(err, io.EOF) {
		return Observations{}, whole(o, "the file is empty", headerMend)
	}
	if err != nil {
		return Observations{}, unreadable(o, err)
	}
	t := &table{o: o, at: columns(header)}
	if err := t.check(header); err != nil {
		return Observations{}, err
	}
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var parse *csv.ParseError
			if !errors.As(err, &parse) {
				return Observations{}, unreadable(o, err)
			}
			t.bad = append(t.bad, unreadable(o, err))
			continue
		}
		t.row, t.line = row, 0
		t.line, _ = in.FieldPos(0)
		t.take()
	}
	out := t.finish()
	for _, h := range header {
		out.SiteIDs = out.SiteIDs || strings.EqualFold(strings.TrimSpace(h), "site_id")
	}
	return out, nil
}

const headerMend = "write a first line date,plant,stage and one line for each date below it"

func whole(o Options, what, mend string) error {
	return &weather.SyntaxError{File: o.Name, Line: 1, What: what, Mend: mend}
}

func unreadable(o Options, err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return &weather.SyntaxError{File: o.Name, Line: parse.Line, What: "not a line of CSV: " + parse.Err.Error(), Mend: "close the quotes; this line is left out"}
	}
	return fmt.Errorf("read %s: %w", o.Name, err)
}

// separator returns the mark that the header uses most.
func separator(start string) rune {
	line, rest, _ := strings.Cut(start, "\n")
	for strings.HasPrefix(line, "#") && rest != "" {
		line, rest, _ = strings.Cut(rest, "\n")
	}
	best := ','
	for _, c := range ";\t" {
		if strings.Count(line, string(c)) > strings.Count(line, string(best)) {
			best = c
		}
	}
	return best
}

// columns finds the known columns of a header by name.
func columns(header []string) map[string]int {
	names := map[string]string{
		"date": "date", "day": "date", "plant": "plant", "species": "plant", "stage": "stage", "phase": "stage",
		"place": "place", "site_id": "place", "site": "place", "note": "note", "notes": "note", "flag": "note",
		"year": "year", "doy": "doy",
	}
	out := map[string]int{}
	for i, h := range header {
		if name, ok := names[strings.ToLower(strings.TrimSpace(h))]; ok {
			if _, twice := out[name]; !twice {
				out[name] = i
			}
		}
	}
	return out
}

// table is a file being read.
type table struct {
	o     Options
	at    map[string]int
	row   []string
	line  int
	looks []seen
	bad   []error
}

// seen is one line that could be read.
type seen struct {
	Observation
	look look
}

// check wants the columns without which nothing can be said.
func (t *table) check(header []string) error {
	_, hasDate := t.at["date"]
	_, hasYear := t.at["year"]
	_, hasDoy := t.at["doy"]
	for _, name := range []string{"plant", "stage"} {
		if _, ok := t.at[name]; !ok {
			return whole(t.o, fmt.Sprintf("no column %q in the header %q", name, strings.Join(header, ",")), headerMend)
		}
	}
	if !hasDate && !(hasYear && hasDoy) {
		return whole(t.o, fmt.Sprintf("no column %q in the header %q", "date", strings.Join(header, ",")), headerMend)
	}
	return nil
}

// value returns a field without blanks around it.
func (t *table) value(name string) string {
	i, ok := t.at[name]
	if !ok || i >= len(t.row) {
		return ""
	}
	return strings.TrimSpace(t.row[i])
}

// dateColumn is the column that tells the day.
func (t *table) dateColumn() int {
	if i, ok := t.at["date"]; ok && t.value("date") != "" {
		return i + 1
	}
	return t.at["doy"] + 1
}

// fault notes what is wrong with a field of the present line.
func (t *table) fault(column, what, mend string) {
	t.bad = append(t.bad, &weather.SyntaxError{
		File: t.o.Name, Line: t.line, Column: t.at[column] + 1, Value: t.value(column),
		What: fmt.Sprintf("%s %q %s", column, t.value(column), what), Mend: mend,
	})
}

// take reads the present line.
func (t *table) take() {
	if strings.TrimSpace(strings.Join(t.row, "")) == "" || strings.HasPrefix(strings.TrimSpace(t.row[0]), "#") {
		return
	}
	s := seen{Observation: Observation{Plant: t.value("plant"), Place: t.value("place"), Note: t.value("note"), Line: t.line, Column: t.dateColumn()}}
	if s.Plant == "" {
		t.fault("plant", "is empty", "name the plant; this line is left out")
		return
	}
	var ok bool
	if s.Stage, s.look, ok = parseStage(t.value("stage")); !ok {
		t.fault("stage", "is not a stage of bloom", "write first, full or end, or no and yes for days on which you looked; this line is left out")
		return
	}
	if s.Day, s.Till, ok = t.dates(); !ok {
		return
	}
	t.looks = append(t.looks, s)
}

// Dates that a keeper or an archive may have. Our own choice.
const oldestYear, newestYear = 1600, 2200

// dates reads a day, an interval of last no and first yes, or year and day of
// the year, and holds them together where both stand there.
func (t *table) dates() (day, till weather.Date, ok bool) {
	text := t.value("date")
	if text == "" {
		return t.yearAndDoy()
	}
	from, to, interval := strings.Cut(text, "/")
	if interval && strings.Contains(to, "/") {
		t.fault("date", "is not a date", "write it as 2026-04-13; this line is left out")
		return 0, 0, false
	}
	day, err := weather.ParseDate(strings.TrimSpace(from))
	till = day
	if err == nil && interval {
		till, err = weather.ParseDate(strings.TrimSpace(to))
	}
	const longest = 60 // days between last no and first yes; our own choice
	switch {
	case err != nil || day.Year() < oldestYear || till.Year() > newestYear:
		t.fault("date", "is not a date of the calendar", "write it as 2026-04-13; this line is left out")
		return 0, 0, false
	case till < day || till-day > longest:
		t.fault("date", "is not an interval", fmt.Sprintf("write the last day without bloom and the first with it, at most %d days apart, as 2026-04-09/2026-04-13; this line is left out", longest))
		return 0, 0, false
	}
	return day, till, t.agrees(till)
}

// agrees holds a date against the year and the day of the year beside it.
func (t *table) agrees(d weather.Date) bool {
	if y := t.value("year"); y != "" && y != strconv.Itoa(d.Year()) {
		t.fault("year", "is not the year of the date "+d.String(), "correct one of them; this line is left out")
		return false
	}
	if n := t.value("doy"); n != "" && n != strconv.Itoa(d.DayOfYear()) {
		t.fault("doy", fmt.Sprintf("is not the day of the year of %s, which is %d", d, d.DayOfYear()), "correct one of them; this line is left out")
		return false
	}
	return true
}

func (t *table) yearAndDoy() (day, till weather.Date, ok bool) {
	y, err := strconv.Atoi(t.value("year"))
	n, err2 := strconv.Atoi(t.value("doy"))
	if err != nil || err2 != nil || y < oldestYear || y > newestYear || n < 1 || n > 366 {
		t.fault("date", "is not a date", "write it as 2026-04-13; this line is left out")
		return 0, 0, false
	}
	day = weather.YearMonthDay(y, 1, 1) + weather.Date(n-1)
	if day.Year() != y {
		t.fault("doy", fmt.Sprintf("does not exist in %d", y), "give the date instead; this line is left out")
		return 0, 0, false
	}
	return day, day, true
}
