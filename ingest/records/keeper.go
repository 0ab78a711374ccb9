package records

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"bloomtide/ingest/weather"
)

// sheet is a small table of the keeper's own whose lines are all needed: the
// first bad one ends the reading.
type sheet struct {
	name string
	in   *csv.Reader
	at   map[string]int // column to index
	row  []string
	line int
}

// openSheet reads the header.
func openSheet(name string, r io.Reader, known, required []string) (*sheet, error) {
	b := bufio.NewReader(r)
	if lead, err := b.Peek(3); err == nil && string(lead) == "\ufeff" {
		if _, err := b.Discard(len(lead)); err != nil {
			return nil, fmt.Errorf("read %s: %w", name, err)
		}
	}
	start, _ := b.Peek(4096)
	s := &sheet{name: name, in: csv.NewReader(b), at: map[string]int{}}
	s.in.Comma, s.in.Comment = separator(string(start)), '#'
	s.in.FieldsPerRecord, s.in.TrimLeadingSpace = -1, true
	mend := "the first line names the columns: " + strings.Join(known, ",")
	header, err := s.in.Read()
	if errors.Is(err, io.EOF) {
		return nil, &weather.SyntaxError{File: name, What: "the file is empty", Mend: mend}
	}
	if err != nil {
		return nil, s.broken(err)
	}
	line, _ := s.in.FieldPos(0)
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(h))
		if _, twice := s.at[h]; twice || !slices.Contains(known, h) {
			return nil, &weather.SyntaxError{File: name, Line: line, Column: i + 1, Value: h, What: fmt.Sprintf("column %q is unknown or stands twice", h), Mend: mend}
		}
		s.at[h] = i
	}
	for _, c := range required {
		if _, ok := s.at[c]; !ok {
			return nil, &weather.SyntaxError{File: name, Line: line, What: fmt.Sprintf("no column %q", c), Mend: mend}
		}
	}
	return s, nil
}

// next reads a line; io.EOF at the end.
func (s *sheet) next() error {
	row, err := s.in.Read()
	if errors.Is(err, io.EOF) {
		return io.EOF
	}
	if err != nil {
		return s.broken(err)
	}
	s.row = row
	s.line, _ = s.in.FieldPos(0)
	return nil
}

func (s *sheet) broken(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return &weather.SyntaxError{File: s.name, Line: p.Line, What: "not a line of CSV: " + p.Err.Error(), Mend: "close the quotes"}
	}
	return fmt.Errorf("read %s: %w", s.name, err)
}

// value returns a field without blanks, "" where the line has none.
func (s *sheet) value(column string) string {
	i, ok := s.at[column]
	if !ok || i >= len(s.row) {
		return ""
	}
	return strings.TrimSpace(s.row[i])
}

// fault is what is wrong with a field of the present line.
func (s *sheet) fault(column, what, mend string) error {
	v := s.value(column)
	return &weather.SyntaxError{File: s.name, Line: s.line, Column: s.at[column] + 1, Value: v, What: fmt.Sprintf("%s %q %s", column, v, what), Mend: mend}
}

// date reads the day of the present line.
func (s *sheet) date() (weather.Date, error) {
	d, err := weather.ParseDate(s.value("date"))
	if err != nil {
		return 0, s.fault("date", "is not a date", "write it as 2027-04-14")
	}
	return d, nil
}

// number reads a finite number in lo..hi.
func (s *sheet) number(column string, lo, hi float64, mend string) (float64, error) {
	x, err := strconv.ParseFloat(s.value(column), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, s.fault(column, "is not a number", "write a number such as 12.5")
	}
	if x < lo || x > hi {
		return 0, s.fault(column, fmt.Sprintf("is outside %g..%g", lo, hi), mend)
	}
	return x, nil
}
