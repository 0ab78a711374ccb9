package archive

import (
	"encoding/binary"

	"github.com/parquet-go/parquet-go/format"
)

// header builds the header of a page, or a footer, in the compact protocol of
// Thrift, as parquet.thrift of parquet-format lays it out (structures PageHeader,
// DataPageHeader and DictionaryPageHeader; the footer's at file). The library
// writes the same bytes by looking at types as it goes, which took a third of the
// time of a file; tests hold them together.
type header []byte

// Types of fields in the compact protocol, from its specification.
const (
	typeI16    = 4
	typeI32    = 5
	typeI64    = 6
	typeBinary = 8
	typeList   = 9
	typeStruct = 12
	stop       = 0 // ends a structure
)

// field begins a field whose number is step above that of the field before.
func (h *header) field(step, kind byte) { *h = append(*h, step<<4|kind) }

// i32 adds the next field.
func (h *header) i32(v int32) {
	h.field(1, typeI32)
	*h = binary.AppendVarint(*h, int64(v))
}

// i64 adds a field.
func (h *header) i64(step byte, v int64) {
	h.field(step, typeI64)
	*h = binary.AppendVarint(*h, v)
}

// text adds a field.
func (h *header) text(step byte, s string) {
	h.field(step, typeBinary)
	*h = binary.AppendUvarint(*h, uint64(len(s)))
	*h = append(*h, s...)
}

// list begins the next field, a list of n.
func (h *header) list(n int, kind byte) {
	const short = 15 // that fit beside the type
	h.field(1, typeList)
	if n < short {
		*h = append(*h, byte(n)<<4|kind)
		return
	}
	*h = append(*h, short<<4|kind)
	*h = binary.AppendUvarint(*h, uint64(n))
}

// begin adds the fields that all pages have.
func (h *header) begin(kind format.PageType, size int, crc uint32) {
	*h = (*h)[:0]
	h.i32(int32(kind))
	h.i32(int32(size)) // unpacked
	h.i32(int32(size)) // packed, which it is not
	h.i32(int32(crc))
}

// dictionary is the header of a dictionary of one word.
func (h *header) dictionary(size int, crc uint32) {
	h.begin(format.DictionaryPage, size, crc)
	const fromCRC = 7 - 4
	h.field(fromCRC, typeStruct)
	h.i32(1) // value
	h.i32(int32(format.Plain))
	*h = append(*h, stop, stop)
}

// dataPage says what a page of values holds.
type dataPage struct {
	rows, nulls int
	coding      format.Encoding
}

// data is the header of a page of values.
func (h *header) data(p dataPage, size int, crc uint32) {
	h.begin(format.DataPage, size, crc)
	h.field(1, typeStruct)
	h.i32(int32(p.rows))
	h.i32(int32(p.coding))
	h.i32(int32(format.RLE)) // definition levels
	h.i32(int32(format.RLE)) // repetition levels
	h.field(1, typeStruct)   // statistics: the number of nulls alone
	const nullCount = 3
	h.field(nullCount, typeI64)
	*h = binary.AppendVarint(*h, int64(p.nulls))
	*h = append(*h, stop, stop, stop)
}
