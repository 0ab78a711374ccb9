package archive

import (
	"bytes"
	"testing"

	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// byLibrary writes a structure with parquet-go.
func byLibrary(t require.TestingT, v any) []byte {
	var b bytes.Buffer
	require.NoError(t, thrift.NewEncoder(new(thrift.CompactProtocol).NewWriter(&b)).Encode(v))
	return b.Bytes()
}

// The headers of pages are those that parquet-go writes.
func TestHeaderIsThatOfTheLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size, crc := rapid.IntRange(0, 1<<30).Draw(t, "size"), rapid.Uint32Min(1).Draw(t, "crc") // the library leaves one of 0 out
		rows := rapid.IntRange(1, mostDays).Draw(t, "rows")
		p := dataPage{
			rows: rows, nulls: rapid.IntRange(0, rows).Draw(t, "nulls"),
			coding: rapid.SampledFrom([]format.Encoding{format.DeltaBinaryPacked, format.RLEDictionary}).Draw(t, "coding"),
		}
		var h header
		h.data(p, size, crc)
		require.Equal(t, byLibrary(t, &format.PageHeader{
			Type: format.DataPage, UncompressedPageSize: int32(size), CompressedPageSize: int32(size), CRC: int32(crc),
			DataPageHeader: thrift.New(format.DataPageHeader{
				NumValues: int32(rows), Encoding: p.coding, DefinitionLevelEncoding: format.RLE, RepetitionLevelEncoding: format.RLE,
				Statistics: format.Statistics{NullCount: int64(p.nulls)},
			}),
		}), []byte(h))
		h.dictionary(size, crc)
		require.Equal(t, byLibrary(t, &format.PageHeader{
			Type: format.DictionaryPage, UncompressedPageSize: int32(size), CompressedPageSize: int32(size), CRC: int32(crc),
			DictionaryPageHeader: thrift.New(format.DictionaryPageHeader{NumValues: 1, Encoding: format.Plain}),
		}), []byte(h))
	})
}
