package main

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// Three invented stations of one weather, one of which writes its maxima down
// a day late throughout: plan and check find it, and with --undo-shift both
// move it back; ingest keeps what was published.
func TestUndoShift(t *testing.T) {
	plain, _, err := inventedRecord()
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	header := "station,date,latitude,longitude,elevation,tmin,tmax"
	for i, id := range []string{"late", "east", "west"} {
		before, n := 0.0, 0
		text := rewritten(plain, header, func(d day) string {
			high := d.max + 0.5*float64(i)
			if id == "late" {
				high, before = before, high
			}
			if n++; n == 1 || high < d.min {
				return fmt.Sprintf("%s,%s,48.2,%.1f,120,%.1f,", id, d.date, 21.3+0.1*float64(i), d.min)
			}
			return fmt.Sprintf("%s,%s,48.2,%.1f,120,%.1f,%.1f", id, d.date, 21.3+0.1*float64(i), d.min, high)
		})
		require.NoError(t, os.WriteFile(id+".csv", []byte(text), 0o644))
	}
	files := []string{"--weather", "late.csv", "--weather", "east.csv", "--weather", "west.csv"}
	place := []string{"--lat", "48.2", "--lon", "21.3", "--elevation", "120", "--issue", "2025-04-10"}
	for _, c := range []struct {
		args []string
		says string
	}{
		{nil, "it is used as it stands; --undo-shift moves it back"},
		{[]string{"--undo-shift"}, "it is moved back by a day"},
	} {
		got := invoke(t, append(append([]string{"plan", "--format", "json"}, append(files, place...)...), c.args...)...)
		require.Equal(t, exitDone, got.code, got.stderr)
		require.Contains(t, got.stdout, c.says)
		got = invoke(t, append([]string{"check", "late.csv", "east.csv", "west.csv"}, c.args...)...)
		require.Equal(t, exitDone, got.code, got.stderr)
		require.Contains(t, got.stdout, c.says)
	}
	require.Equal(t, exitUsage, invoke(t, "ingest", "late.csv", "--archive", "keep", "--undo-shift").code)
}
