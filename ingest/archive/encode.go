package archive

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"

	"bloomtide/ingest/weather"

	"github.com/parquet-go/parquet-go/deprecated"
	"github.com/parquet-go/parquet-go/encoding/delta"
	"github.com/parquet-go/parquet-go/encoding/rle"
	"github.com/parquet-go/parquet-go/encoding/thrift"
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
// The pages are put together here, from the encodings and the metadata of
// parquet-go, and not by its writer: that takes a value at a time, and its
// bytes may change from one version of the library to the next.
//
// The zero value is ready. It keeps its room from one file to the next and
// serves one goroutine.
type encoder struct {
	out     []byte
	rows    int
	schema  []format.SchemaElement
	chunks  []format.ColumnChunk
	columns columns
	days    []int32
	body    []byte // of the page being built
	coded   []byte // values of the page being built
	header  header
	meta    bytes.Buffer
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
	e.schema = append(e.schema[:0], format.SchemaElement{Name: "day", NumChildren: thrift.New[int32](0)})
	e.station(s.Site.ID)
	e.dates(s.Start)
	e.columns.gather(s.Days)
	all := elements()
	for i := range all {
		e.values(all[i].name, &e.columns[i])
	}
	for i := range all {
		e.flags(all[i].flagsName, e.columns[i].flags)
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
	e.column(format.SchemaElement{
		Name: stationColumn, Type: thrift.New(format.ByteArray),
		LogicalType: text(), ConvertedType: thrift.New(deprecated.UTF8),
	}, format.ColumnMetaData{
		Encoding:             []format.Encoding{format.Plain, format.RLEDictionary},
		DictionaryPageOffset: at, DataPageOffset: dataAt, TotalCompressedSize: size,
	})
}

// dates writes the column of days.
func (e *encoder) dates(start weather.Date) {
	e.days = slices.Grow(e.days[:0], e.rows)[:e.rows]
	for i := range e.days {
		e.days[i] = int32(start) + int32(i)
	}
	e.plainInts(format.SchemaElement{
		Name: dateColumn, LogicalType: day(), ConvertedType: thrift.New(deprecated.Date),
	}, e.days)
}

// flags writes a column of flags.
func (e *encoder) flags(name string, flags []int32) {
	e.plainInts(format.SchemaElement{
		Name: name, LogicalType: octet(), ConvertedType: thrift.New(deprecated.Uint8),
	}, flags)
}

// plainInts writes a column without missing values.
func (e *encoder) plainInts(s format.SchemaElement, v []int32) {
	e.body = e.body[:0]
	e.ints(v)
	e.intColumn(s, v, 0)
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
	e.intColumn(format.SchemaElement{
		Name: name, RepetitionType: thrift.New(format.Optional),
	}, c.values, e.rows-len(c.values))
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
func (e *encoder) intColumn(s format.SchemaElement, v []int32, nulls int) {
	at := int64(len(e.out))
	size := e.dataPage(format.DeltaBinaryPacked, nulls)
	s.Type = thrift.New(format.Int32)
	m := format.ColumnMetaData{
		Encoding: []format.Encoding{format.DeltaBinaryPacked, format.RLE}, DataPageOffset: at, TotalCompressedSize: size,
	}
	m.Statistics = bounds(v, nulls)
	e.column(s, m)
}

// bounds are the least and the greatest value, by which readers pass over files.
func bounds(v []int32, nulls int) format.Statistics {
	s := format.Statistics{NullCount: int64(nulls)}
	if len(v) == 0 {
		return s
	}
	lo, hi := v[0], v[0]
	for _, x := range v { // hardly ever either, which a processor foretells
		if x < lo {
			lo = x
		} else if x > hi {
			hi = x
		}
	}
	s.MinValue = binary.LittleEndian.AppendUint32(nil, uint32(lo))
	s.MaxValue = binary.LittleEndian.AppendUint32(nil, uint32(hi))
	return s
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

// marshal writes a structure of the metadata into room that the next one takes.
func (e *encoder) marshal(v any) []byte {
	e.meta.Reset()
	e.note(thrift.NewEncoder(new(thrift.CompactProtocol).NewWriter(&e.meta)).Encode(v))
	return e.meta.Bytes()
}

// column enters a column into schema and row group.
func (e *encoder) column(s format.SchemaElement, m format.ColumnMetaData) {
	if !s.RepetitionType.Valid {
		s.RepetitionType = thrift.New(format.Required)
	}
	m.Type, m.PathInSchema, m.Codec = s.Type.V, []string{s.Name}, format.Uncompressed
	m.NumValues, m.TotalUncompressedSize = int64(e.rows), m.TotalCompressedSize
	e.schema = append(e.schema, s)
	e.chunks = append(e.chunks, format.ColumnChunk{MetaData: m})
}

func (e *encoder) note(err error) {
	if e.err == nil {
		e.err = err
	}
}

// finish writes the footer and the checksum in it.
func (e *encoder) finish(meta []format.KeyValue) ([]byte, error) {
	e.schema[0].NumChildren = thrift.New(int32(len(e.chunks)))
	orders := make([]format.ColumnOrder, len(e.chunks))
	var size int64
	for i := range e.chunks {
		orders[i].Value = &format.TypeDefinedOrder{}
		size += e.chunks[i].MetaData.TotalCompressedSize
	}
	footer := e.marshal(&format.FileMetaData{
		Version: 2, Schema: e.schema, NumRows: int64(e.rows), CreatedBy: writtenBy, ColumnOrders: orders,
		KeyValueMetadata: append(meta, format.KeyValue{Key: sumKey, Value: noSum}),
		RowGroups: []format.RowGroup{{
			Columns: e.chunks, NumRows: int64(e.rows), TotalByteSize: size, TotalCompressedSize: size,
			FileOffset: int64(len(magic)),
		}},
	})
	if e.err != nil {
		return nil, fmt.Errorf("encode the record: %w", e.err)
	}
	e.out = append(e.out, footer...)
	e.out = binary.LittleEndian.AppendUint32(e.out, uint32(len(footer)))
	e.out = append(e.out, magic...)
	return e.out, seal(e.out)
}
