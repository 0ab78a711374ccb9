package archive_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/archive"
	"bloomtide/ingest/weather"
)

// stored fills an archive with invented stations of 20,000 days.
func stored(b *testing.B, stations int) *archive.Archive {
	a, err := archive.Open(tempArchive(b))
	require.NoError(b, err)
	w, err := a.Write()
	require.NoError(b, err)
	for i := range stations {
		_, err := w.Put(invented(fmt.Sprintf("BENCH%06d", i), 20000, uint64(i)))
		require.NoError(b, err)
	}
	require.NoError(b, w.Close())
	return a
}

// The whole archive, every day of every station.
func BenchmarkScan(b *testing.B) {
	a := stored(b, 50)
	b.SetBytes(50 * 20000) // days, so that MB/s reads as million days a second
	for b.Loop() {
		usable := 0
		for s, err := range a.All() {
			require.NoError(b, err)
			usable += s.Usable(s.Start, s.End())
		}
		require.Positive(b, usable)
	}
}

// The same without making series of it.
func BenchmarkChecks(b *testing.B) {
	a := stored(b, 50)
	b.SetBytes(50 * 20000)
	for b.Loop() {
		usable := 0
		for s, err := range a.Checks() {
			require.NoError(b, err)
			usable += s.Usable
		}
		require.Positive(b, usable)
	}
}

func BenchmarkHeads(b *testing.B) {
	a := stored(b, 50)
	for b.Loop() {
		for _, err := range a.Heads() {
			require.NoError(b, err)
		}
	}
}

// The same station again and again, changed each time.
func BenchmarkPut(b *testing.B) {
	a, err := archive.Open(tempArchive(b))
	require.NoError(b, err)
	w, err := a.Write()
	require.NoError(b, err)
	s := invented("BENCH", 20000, 1)
	b.SetBytes(20000)
	for b.Loop() {
		s.Days[0].Max, s.Days[0].MaxFlags = 30-s.Days[0].Max, weather.Observed
		_, err := w.Put(s)
		require.NoError(b, err)
	}
	require.NoError(b, w.Close())
}
