package ingest

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkCollect reads, cleans and fills thirty years of one station.
func BenchmarkCollect(b *testing.B) {
	text := []byte(table(10950, func(i int, d string) string {
		if i%400 < 20 {
			return d + ",,"
		}
		return ""
	}))
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		got, err := Collect([]Source{{Name: "f.csv", Reader: bytes.NewReader(text)}}, Options{})
		require.NoError(b, err)
		require.Len(b, got, 1)
	}
}

// BenchmarkTiny reads a file of a few lines, which must cost next to nothing.
func BenchmarkTiny(b *testing.B) {
	text := table(10, nil)
	b.ReportAllocs()
	for b.Loop() {
		_, err := Collect([]Source{{Name: "f.csv", Reader: strings.NewReader(text)}}, Options{})
		require.Error(b, err)
	}
}
