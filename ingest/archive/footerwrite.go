package archive

import (
	"encoding/binary"

	"github.com/parquet-go/parquet-go/format"
)

// chunk is a column of a file that is being written.
type chunk struct {
	name         string
	kind         format.Type
	coding       [2]format.Encoding
	dictionaryAt int64 // 0: none
	at, size     int64 // of its pages, bytes
	nulls        int
	values       int   // that lo and hi are of; 0: there are no bounds
	lo, hi       int32 // least and greatest value
}

// file builds the footer: structure FileMetaData of parquet.thrift, with one row
// group.
func (h *header) file(schema []byte, rows int, chunks []chunk, meta []format.KeyValue) {
	const version = 2
	*h = (*h)[:0]
	h.i32(version)
	h.list(1+len(chunks), typeStruct) // the row and its columns
	*h = append(*h, schema...)
	h.i64(1, int64(rows))
	h.list(1, typeStruct)
	h.rowGroup(rows, chunks)
	h.list(len(meta), typeStruct)
	for _, m := range meta {
		h.text(1, m.Key)
		h.text(1, m.Value)
		*h = append(*h, stop)
	}
	h.text(1, writtenBy)
	h.list(len(chunks), typeStruct)
	for range chunks { // ordered as their type is
		h.field(1, typeStruct)
		*h = append(*h, stop, stop)
	}
	*h = append(*h, stop)
}

// rowGroup adds the elements of structure RowGroup.
func (h *header) rowGroup(rows int, chunks []chunk) {
	var size int64
	h.list(len(chunks), typeStruct)
	for i := range chunks {
		h.chunk(rows, &chunks[i])
		size += chunks[i].size
	}
	h.i64(1, size) // unpacked
	h.i64(1, int64(rows))
	const overSorting = 2 // there are no sorting columns between
	h.i64(overSorting, int64(len(magic)))
	h.i64(1, size)
	h.field(1, typeI16)
	*h = append(*h, 0, stop) // the first row group
}

// chunk adds structure ColumnChunk with its ColumnMetaData.
func (h *header) chunk(rows int, c *chunk) {
	const overPath = 2 // there is no other file between
	h.i64(overPath, 0)
	h.field(1, typeStruct)
	h.i32(int32(c.kind))
	h.list(len(c.coding), typeI32)
	for _, v := range c.coding {
		*h = binary.AppendVarint(*h, int64(v))
	}
	h.list(1, typeBinary)
	*h = binary.AppendUvarint(*h, uint64(len(c.name)))
	*h = append(*h, c.name...)
	h.i32(int32(format.Uncompressed))
	h.i64(1, int64(rows))
	h.i64(1, c.size)
	h.i64(1, c.size)
	const overKeys, overIndex, overDictionary = 2, 2, 3
	h.i64(overKeys, c.at)
	toStatistics := byte(overDictionary)
	if c.dictionaryAt > 0 {
		h.i64(overIndex, c.dictionaryAt)
		toStatistics = 1
	}
	h.field(toStatistics, typeStruct)
	const nullCount, overDistinct = 3, 2
	h.i64(nullCount, int64(c.nulls))
	if c.values > 0 {
		h.bound(overDistinct, c.hi)
		h.bound(1, c.lo)
	}
	*h = append(*h, stop, stop, stop)
}

// bound adds a least or greatest value.
func (h *header) bound(step byte, v int32) {
	const size = 4 // bytes
	h.field(step, typeBinary)
	*h = binary.LittleEndian.AppendUint32(append(*h, size), uint32(v))
}
