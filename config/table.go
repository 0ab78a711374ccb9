package config

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/jszwec/csvutil"

	"bloomtide/ingest/weather"
)

// table reads a CSV file with a header whose lines decode into a struct of
// strings, and knows where each field stands.
type table struct {
	name   string
	rows   *csv.Reader
	dec    *csvutil.Decoder
	header []string
}

// maxTableBytes bounds a table: a forage table of a thousand plants is a
// twentieth of it. Our own choice.
const maxTableBytes = 16 << 20

// openTable reads the header and compares it with the columns known. Lines
// that begin with # are comments.
func openTable(name string, r io.Reader, known, required []string) (*table, error) {
	content, err := io.ReadAll(io.LimitReader(r, maxTableBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, err)
	}
	t := &table{name: name}
	if len(content) > maxTableBytes {
		return nil, t.whole("longer than 16 MiB", "is this the right file?")
	}
	content = bytes.TrimPrefix(content, []byte("\ufeff"))
	t.rows = csv.NewReader(bytes.NewReader(content))
	t.rows.Comment, t.rows.TrimLeadingSpace = '#', true
	if t.header, err = t.rows.Read(); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, t.whole("empty", "the first line names the columns: "+strings.Join(required, ","))
		}
		return nil, t.syntax(err)
	}
	for i, h := range t.header {
		t.header[i] = strings.ToLower(strings.TrimSpace(h))
	}
	if err := t.checkHeader(known, required); err != nil {
		return nil, err
	}
	t.dec, err = csvutil.NewDecoder(t.rows, t.header...)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, err)
	}
	return t, nil
}

func (t *table) checkHeader(known, required []string) error {
	if len(t.header) == 1 && strings.Contains(t.header[0], ";") {
		return t.whole("the columns are separated by semicolons", "save it with commas")
	}
	line, _ := t.rows.FieldPos(0)
	for i, h := range t.header {
		bad := &weather.SyntaxError{File: t.name, Line: line, Column: i + 1, Value: h}
		if slices.Index(t.header, h) < i {
			bad.What, bad.Mend = fmt.Sprintf("column %q stands twice", h), "delete one"
			return bad
		}
		if !slices.Contains(known, h) {
			bad.What, bad.Mend = fmt.Sprintf("unknown column %q", h), didYouMean(h, known)
			if bad.Mend == "" {
				bad.Mend = "use " + strings.Join(known, ", ")
			}
			return bad
		}
	}
	for _, c := range required {
		if !slices.Contains(t.header, c) {
			return &weather.SyntaxError{File: t.name, Line: line, What: fmt.Sprintf("no column %q", c), Mend: "add it to the header"}
		}
	}
	return nil
}

// next decodes the next line; io.EOF at the end.
func (t *table) next(row any) error {
	err := t.dec.Decode(row)
	if err == nil || errors.Is(err, io.EOF) {
		return err
	}
	return t.syntax(err)
}

func (t *table) syntax(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		mend := "put text that has commas or quotes between double quotes"
		if errors.Is(p.Err, csv.ErrFieldCount) {
			mend = fmt.Sprintf("the header has %d fields; %s", len(t.header), mend)
		}
		return &weather.SyntaxError{File: t.name, Line: p.Line, What: p.Err.Error(), Mend: mend}
	}
	return fmt.Errorf("read %s: %w", t.name, err)
}

func (t *table) whole(what, mend string) error {
	return &weather.SyntaxError{File: t.name, What: what, Mend: mend}
}

// at returns an error at a column of the line just read. %q in what takes the
// value.
func (t *table) at(column, value, what, mend string) error {
	i := slices.Index(t.header, column)
	if i < 0 {
		line, _ := t.rows.FieldPos(0)
		return &weather.SyntaxError{File: t.name, Line: line, Value: value, What: "no column " + column, Mend: "add it to the header"}
	}
	line, _ := t.rows.FieldPos(i)
	return &weather.SyntaxError{File: t.name, Line: line, Column: i + 1, Value: value,
		What: fmt.Sprintf("%s %q %s", column, value, what), Mend: mend}
}

// number reads a finite number in lo..hi.
func (t *table) number(column, value string, lo, hi float64) (float64, error) {
	v := strings.TrimSpace(value)
	x, err := strconv.ParseFloat(v, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		mend := "write a number such as 12.5"
		if strings.Contains(v, ",") {
			mend = "write the decimals after a point, not a comma"
		}
		if v == "" {
			mend = "fill in the field"
		}
		return 0, t.at(column, value, "is not a number", mend)
	}
	if x < lo || x > hi {
		return 0, t.at(column, value, fmt.Sprintf("is outside %g..%g", lo, hi), "check the figure and its unit")
	}
	return x, nil
}

// numberOr reads a number, or returns a stand-in where the field is empty.
func (t *table) numberOr(column, value string, lo, hi, empty float64) (float64, error) {
	if strings.TrimSpace(value) == "" {
		return empty, nil
	}
	return t.number(column, value, lo, hi)
}
