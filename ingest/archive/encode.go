package archive

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"

	"bloomtide/ingest/weather"

	"github.com/parquet-go/parquet-go/encoding/delta"
	"github.com/parquet-go/parquet-go/encoding/rle"
	"github.com/parquet-go/parquet-go/format"
)

// magic opens and closes a Parquet file.
const magic = "PAR1"

// writtenBy is fixed: the same series gives the same bytes in every version.
const writtenBy = "bloomtide version 1"

// mostDays bounds a record: format reads dates of 1700 to 2200, 183,000 days.
const mostDays = 400 * 366

// encoder builds a file with one row group and one page a column.
//
// The pages are put together here, from the encodings of parquet-go, and not by
// its writer: that takes a value at a time, and its bytes may change from one
// version of the library to the next.
//
// The zero value is ready. It keeps its room from one file to the next and
// serves one goroutine.
type encoder struct {
	out     []byte
	rows    int
	chunks  []chunk
	schema  []byte // what schema makes; the same in every file
	columns columns
	days    []int32
	body    []byte // of the page being built
	coded   []byte // values of the page being built
	header  header
	footer  header
	err     error
}

// encode returns the file of a series, which is valid until the next call.
func (e *encoder) encode(s weather.Series) ([]byte, error) {
	switch {
	case s.Site.ID == "":
		return nil, errors.New("a station without an identifier cannot be kept")
	case len(s.Days) == 0:
		return nil, fmt.Errorf("station %s has no day to keep", s.Site.ID)
	case len(s.Days) > mostDays:
		return nil, fmt.Errorf("station %s: %d days are more than a record can have", s.Site.ID, len(s.Days))
	}
	e.rows, e.err, e.chunks = len(s.Days), nil, e.chunks[:0]
	e.out = append(slices.Grow(e.out[:0], 4096+6*len(s.Days)), magic...)
	e.station(s.Site.ID)
	e.dates(s.Start)
	e.columns.gather(s.Days)
	all := elements()
	for i := range all {
		e.values(all[i].name, &e.columns[i])
	}
	for i := range all {
		e.plainInts(all[i].flagsName, e.columns[i].flags)
	}
	return e.finish(metadata(s, Summary{Site: s.Site, First: s.Start, Last: s.End() - 1, Counts: count(&e.columns)}))
}

// station writes the column that says the same on every row: a dictionary of
// one word, and one run of it.
func (e *encoder) station(id string) {
	at := int64(len(e.out))
	e.body = binary.LittleEndian.AppendUint32(e.body[:0], uint32(len(id)))
	e.body = append(e.body, id...)
	e.header.dictionary(len(e.body), crc32.ChecksumIEEE(e.body))
	size := e.page()
	dataAt := int64(len(e.out))
	const bitWidth = 1
	e.body = append(e.body[:0], bitWidth)
	e.body = binary.AppendUvarint(e.body, uint64(e.rows)<<1) // a run, not packed bits
	e.body = append(e.body, 0)
	size += e.dataPage(format.RLEDictionary, 0)
	e.chunks = append(e.chunks, chunk{
		name: stationColumn, kind: format.ByteArray, coding: [2]format.Encoding{format.Plain, format.RLEDictionary},
		dictionaryAt: at, at: dataAt, size: size,
	})
}

// dates writes the column of days.
func (e *encoder) dates(start weather.Date) {
	e.days = slices.Grow(e.days[:0], e.rows)[:e.rows]
	for i := range e.days {
		e.days[i] = int32(start) + int32(i)
	}
	e.plainInts(dateColumn, e.days)
}

// plainInts writes a column without missing values.
func (e *encoder) plainInts(name string, v []int32) {
	e.body = e.body[:0]
	e.ints(v)
	e.intColumn(name, v, 0)
}

// values writes a column with missing values.
func (e *encoder) values(name string, c *column) {
	levels := rle.Encoding{BitWidth: 1}
	var err error
	e.coded, err = levels.EncodeLevels(e.coded, c.levels)
	e.note(err)
	e.body = binary.LittleEndian.AppendUint32(e.body[:0], uint32(len(e.coded)))
	e.body = append(e.body, e.coded...)
	e.ints(c.values)
	e.intColumn(name, c.values, e.rows-len(c.values))
}

// ints appends values to the page being built.
func (e *encoder) ints(v []int32) {
	var coding delta.BinaryPackedEncoding
	var err error
	e.coded, err = coding.EncodeInt32(e.coded, v)
	e.note(err)
	e.body = append(e.body, e.coded...)
}

// intColumn writes the page that has been built and enters its column.
func (e *encoder) intColumn(name string, v []int32, nulls int) {
	c := chunk{
		name: name, kind: format.Int32, coding: [2]format.Encoding{format.DeltaBinaryPacked, format.RLE},
		at: int64(len(e.out)), nulls: nulls, values: len(v),
	}
	c.size = e.dataPage(format.DeltaBinaryPacked, nulls)
	c.lo, c.hi = bounds(v)
	e.chunks = append(e.chunks, c)
}

// bounds are the least and the greatest value, by which readers pass over files.
func bounds(v []int32) (lo, hi int32) {
	if len(v) == 0 {
		return 0, 0
	}
	lo, hi = v[0], v[0]
	for _, x := range v { // hardly ever either, which a processor foretells
		if x < lo {
			lo = x
		} else if x > hi {
			hi = x
		}
	}
	return lo, hi
}

// dataPage writes the body as a page of values and returns its size, bytes.
func (e *encoder) dataPage(coding format.Encoding, nulls int) int64 {
	e.header.data(dataPage{rows: e.rows, nulls: nulls, coding: coding}, len(e.body), crc32.ChecksumIEEE(e.body))
	return e.page()
}

// page writes header and body and returns the size of both, bytes.
func (e *encoder) page() int64 {
	e.out = append(append(e.out, e.header...), e.body...)
	return int64(len(e.header) + len(e.body))
}

func (e *encoder) note(err error) {
	if e.err == nil {
		e.err = err
	}
}

// finish writes the footer and the checksum in it.
func (e *encoder) finish(meta []format.KeyValue) ([]byte, error) {
	if e.schema == nil {
		var err error
		e.schema, err = schema()
		e.note(err)
	}
	if e.err != nil {
		return nil, fmt.Errorf("encode the record: %w", e.err)
	}
	e.footer.file(e.schema, e.rows, e.chunks, append(meta, format.KeyValue{Key: sumKey, Value: noSum}))
	e.out = append(e.out, e.footer...)
	e.out = binary.LittleEndian.AppendUint32(e.out, uint32(len(e.footer)))
	e.out = append(e.out, magic...)
	return e.out, seal(e.out)
}
