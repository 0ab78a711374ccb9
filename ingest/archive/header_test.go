package archive

import (
	"bytes"
	"encoding/binary"
	"testing"

	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
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

// A footer is what the library writes of what it reads there, also of a record
// without any value and of one with all.
func TestFooterIsThatOfTheLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := weather.Series{
			Site:  weather.Site{ID: rapid.StringN(1, 20, 60).Draw(t, "id"), Name: rapid.String().Draw(t, "name"), Point: weather.Nowhere()},
			Start: weather.Date(rapid.IntRange(-90_000, 90_000).Draw(t, "start")),
			Days:  make([]weather.Day, rapid.IntRange(1, 200).Draw(t, "days")),
		}
		flags := rapid.SampledFrom([]weather.Flags{0, weather.Observed, weather.Observed | weather.Rejected})
		for i := range s.Days {
			s.Days[i] = weather.Day{
				Min: weather.Celsius(i%50) - 20, Max: weather.Celsius(i % 40), RainMm: float64(i % 9), WindMs: 3,
				MinFlags: flags.Draw(t, "low"), MaxFlags: flags.Draw(t, "high"), RainFlags: flags.Draw(t, "rain"), WindFlags: flags.Draw(t, "wind"),
			}
		}
		file, err := new(encoder).encode(s)
		require.NoError(t, err)
		end := len(file) - len(magic) - 4
		footer := file[end-int(binary.LittleEndian.Uint32(file[end:])) : end]
		var m format.FileMetaData
		require.NoError(t, thrift.Unmarshal(new(thrift.CompactProtocol), footer, &m))
		require.Equal(t, byLibrary(t, &m), footer)
		require.Len(t, m.RowGroups[0].Columns, 10)
		for i, c := range m.RowGroups[0].Columns {
			require.Equal(t, []string{m.Schema[i+1].Name}, []string(c.MetaData.PathInSchema))
		}
	})
}
