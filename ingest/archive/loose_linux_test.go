package archive

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// Files with and without a name, and some of both, are put in place alike, also
// where another stands there; none is left, and none stays open.
func TestLooseFilesWithAndWithoutNames(t *testing.T) {
	for _, most := range []int64{-1, 7, 0} { // of files without a name; 0: as many as the system lets
		t.Run(fmt.Sprint(most), func(t *testing.T) {
			a, err := Open(filepath.Join(t.TempDir(), "stations"))
			require.NoError(t, err)
			before := openFiles(t)
			for round := range 3 {
				w, err := a.Write()
				require.NoError(t, err)
				w.loose.most.Store(most)
				for i := range 50 {
					s := weather.Series{Site: weather.Site{ID: fmt.Sprint("S", i), Point: weather.Nowhere()}, Start: 1, Days: make([]weather.Day, 3)}
					s.Days[1] = weather.Day{Min: weather.Celsius(round), Max: 20, MinFlags: weather.Observed, MaxFlags: weather.Observed}
					changed, err := w.Put(s)
					require.NoError(t, err)
					require.True(t, changed)
				}
				staged := len(w.staged.files)
				require.Equal(t, 50, staged)
				named, err := filepath.Glob(filepath.Join(a.Dir(), tempPrefix+"*"))
				require.NoError(t, err)
				if most < 0 { // else it depends on the file system
					require.Len(t, named, staged)
				}
				require.NoError(t, w.Close())
			}
			for i := range 50 {
				s, err := a.Get(fmt.Sprint("S", i))
				require.NoError(t, err)
				require.Equal(t, weather.Celsius(2), s.Days[1].Min)
			}
			left, err := filepath.Glob(filepath.Join(a.Dir(), tempPrefix+"*"))
			require.NoError(t, err)
			require.Empty(t, left)
			require.Equal(t, before, openFiles(t))
		})
	}
}

// openFiles counts the files that this process has open.
func openFiles(t *testing.T) int {
	entries, err := os.ReadDir(openPaths)
	require.NoError(t, err)
	return len(entries)
}
