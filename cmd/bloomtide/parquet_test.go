package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A flipped byte anywhere in a file of the archive is found when the file is
// given as input: the checksum covers all of it.
func TestDamagedParquetAsInput(t *testing.T) {
	args := willing(t)
	require.Equal(t, exitDone, invoke(t, "ingest", "r.csv", "--archive", "keep").code)
	name := filepath.Join("keep", "stations", "r.parquet")
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	for _, at := range []int{4, len(whole) / 2, len(whole) - 20} {
		b := append([]byte(nil), whole...)
		b[at] ^= 1
		require.NoError(t, os.WriteFile("d.parquet", b, 0o644))
		got := invoke(t, append([]string{"plan", "--weather", "d.parquet"}, args[2:]...)...)
		require.Equal(t, exitFailed, got.code)
		require.Contains(t, got.stderr, "error: d.parquet: this Parquet file is damaged")
		require.Contains(t, got.stderr, "copy it again, or ingest its station anew")
	}
}
