package archive

import (
	"errors"
	"fmt"

	"bloomtide/ingest/weather"

	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

// Decode reads a file of the archive's layout. The name is for messages; the
// error is a *DamageError. Nothing of a file is believed before its checksum
// is seen to fit.
func Decode(name string, file []byte) (weather.Series, error) {
	return new(decoder).read(name, file)
}

// decoder keeps room for columns from one file to the next. The zero value is
// ready; it serves one goroutine.
type decoder struct {
	file    []byte // room for reading a file
	dates   []int32
	columns columns

	chunks []format.ColumnChunk
	rows   int
}

// read decodes a file to the series that it holds.
func (d *decoder) read(name string, file []byte) (s weather.Series, err error) {
	sum, sources, err := d.scan(name, file)
	if err != nil {
		return s, err
	}
	return weather.Series{Site: sum.Site, Start: sum.First, Days: join(&d.columns), Sources: sources}, nil
}

// scan checks a file and decodes its columns into the decoder's room. The
// error is a *DamageError.
func (d *decoder) scan(name string, file []byte) (s Summary, sources []weather.Site, err error) {
	defer func() { // the columnar library checks most, not all, of what it reads
		if r := recover(); r != nil {
			s, err = Summary{}, &DamageError{File: name, What: fmt.Sprint("it cannot be decoded: ", r)}
		}
	}()
	if len(file) < len(magic) || string(file[:len(magic)]) != magic {
		return s, nil, &DamageError{File: name, What: "it is no Parquet file"}
	}
	if what := sealed(file); what != "" {
		return s, nil, &DamageError{File: name, What: what}
	}
	s, sources, err = d.decode(file)
	if err != nil {
		return Summary{}, nil, &DamageError{File: name, What: "it cannot be decoded", Err: err}
	}
	return s, sources, nil
}

// decode reads the pages of a file that is whole.
func (d *decoder) decode(file []byte) (s Summary, sources []weather.Site, err error) {
	m, err := parseFooter(file)
	if err != nil {
		return s, nil, err
	}
	if m.NumRows < 1 || m.NumRows > mostDays || len(m.RowGroups) != 1 {
		return s, nil, fmt.Errorf("%d days in %d row groups", m.NumRows, len(m.RowGroups))
	}
	get := keyValues(m)
	if s, err = summary(get); err != nil {
		return s, nil, err
	}
	if int64(s.Days()) != m.NumRows {
		return s, nil, fmt.Errorf("%d days where %s..%s has %d", m.NumRows, s.First, s.Last, s.Days())
	}
	text, _ := get(keySources)
	if sources, err = parseSources(text); err != nil {
		return s, nil, err
	}
	d.rows, d.chunks = int(m.NumRows), m.RowGroups[0].Columns
	if err := d.follow(file, s.First); err != nil {
		return s, nil, err
	}
	all := elements()
	for i := range all {
		if i == windAt && !d.has(&all[i]) {
			d.columns[i].empty()
			continue
		}
		if err := d.element(file, &all[i], &d.columns[i]); err != nil {
			return s, nil, err
		}
	}
	if counted := count(&d.columns); counted != s.Counts {
		return s, nil, fmt.Errorf("its days give the counts %+v, the metadata say %+v", counted, s.Counts)
	}
	return s, sources, nil
}

// follow checks that the days follow each other.
func (d *decoder) follow(file []byte, first weather.Date) error {
	p, err := d.page(file, dateColumn)
	if err == nil {
		d.dates, err = p.ints(d.dates, d.rows)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", dateColumn, err)
	}
	if len(d.dates) != d.rows {
		return fmt.Errorf("%d dates on %d rows", len(d.dates), d.rows)
	}
	for i, v := range d.dates {
		if v != int32(first)+int32(i) {
			return fmt.Errorf("row %d is %s where %s is due", i+1, weather.Date(v), first+weather.Date(i))
		}
	}
	return nil
}

// element reads values and flags of an element into c.
func (d *decoder) element(file []byte, e *element, c *column) error {
	p, err := d.page(file, e.name)
	if err == nil {
		c.levels, err = p.levels(c.levels, d.rows)
	}
	if err == nil {
		c.values, err = p.ints(c.values, d.rows)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", e.name, err)
	}
	p, err = d.page(file, e.flagsName)
	if err == nil {
		c.flags, err = p.ints(c.flags, d.rows)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", e.flagsName, err)
	}
	if len(c.levels) != d.rows || len(c.flags) != d.rows {
		return fmt.Errorf("%s has %d levels and %d flags for %d days", e.name, len(c.levels), len(c.flags), d.rows)
	}
	if what := e.check(*c); what != "" {
		return errors.New(what)
	}
	return nil
}

// has reports whether the file has any column of an element.
func (d *decoder) has(e *element) bool {
	return d.chunk(e.name) != nil || d.chunk(e.flagsName) != nil
}

// chunk finds a column, nil where the file has none of the name.
func (d *decoder) chunk(name string) *format.ColumnMetaData {
	for i := range d.chunks {
		m := &d.chunks[i].MetaData
		if len(m.PathInSchema) == 1 && m.PathInSchema[0] == name {
			return m
		}
	}
	return nil
}

// page finds the one page of a column.
func (d *decoder) page(file []byte, name string) (page, error) {
	m := d.chunk(name)
	switch {
	case m == nil:
		return page{}, errors.New("the column is missing")
	case m.Type != format.Int32 || m.Codec != format.Uncompressed || m.NumValues != int64(d.rows):
		return page{}, errors.New("the column is not as this program writes it")
	}
	return openPage(file, m.DataPageOffset)
}

// keyValues finds values of the metadata.
func keyValues(m *format.FileMetaData) lookup {
	return func(key string) (string, bool) {
		for i := range m.KeyValueMetadata {
			if m.KeyValueMetadata[i].Key == key {
				return m.KeyValueMetadata[i].Value, true
			}
		}
		return "", false
	}
}

// unmarshal reads a structure of the metadata.
func unmarshal(b []byte, v any) error { return thrift.Unmarshal(new(thrift.CompactProtocol), b, v) }
