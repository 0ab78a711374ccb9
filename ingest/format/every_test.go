package format

import (
	"bytes"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// figures sum up what a file holds: extremes that are not rejected.
type figures struct {
	first, last    string
	minima, maxima int
	sumMin, sumMax float64 // °C
	rejected       int
}

func (f *figures) add(e weather.Element, date string, v float64, rejected bool) {
	switch {
	case e != weather.TMin && e != weather.TMax:
		return
	case rejected:
		f.rejected++
		return
	case e == weather.TMin:
		f.minima++
		f.sumMin += v
	default:
		f.maxima++
		f.sumMax += v
	}
	if f.first == "" || date < f.first {
		f.first = date
	}
	f.last = max(f.last, date)
}

// outsideTruths are the independent paths to the files of the shared folder;
// a list of stations has none.
func outsideTruths() map[string]func(*testing.T, []byte) (truth, []weather.Reading) {
	out := map[string]func(*testing.T, []byte) (truth, []weather.Reading){
		"ghcn-dly/CA006105976.dly":                        fixedWidth,
		"dwd-kl/tageswerte_KL_00011_akt.zip":              windAlone,
		"ghcn-stations/ghcnd-stations-every-60th.txt":     nil,
		"ghcn-stations/ghcnd-inventory-same-stations.txt": nil,
		"eccc/en_climate_daily_metadata_BC_1054503.txt":   nil,
	}
	for _, o := range outsideFiles {
		out[o.file] = o.check
	}
	for _, h := range hourlyFiles {
		out[h.name] = h.check
	}
	return out
}

// windAlone holds that a station that measures no temperature gives none; its
// wind is held by TestRealZip.
func windAlone(t *testing.T, b []byte) (truth, []weather.Reading) {
	t.Helper()
	_, got, _ := readings(t, "tageswerte_KL_00011_akt.zip", b, Options{})
	require.NotEmpty(t, got)
	return truth{}, got
}

// TestEveryFile walks the shared folder: of each file first and last day, the
// numbers of minima and maxima and their sums are those of the independent
// path, and so is every value, with nothing told but the name. A file without a path fails.
func TestEveryFile(t *testing.T) {
	root := filepath.Join("..", "..", "..", "shared", "data", "formats")
	if _, err := os.Stat(root); err != nil {
		t.Skipf("no shared data beside the project: %v", err)
	}
	truths := outsideTruths()
	files := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(root, path)
		require.NoError(t, err)
		name := filepath.ToSlash(rel)
		files++
		t.Run(name, func(t *testing.T) {
			apart, known := truths[name]
			require.True(t, known, "no independent path to this file")
			b, err := os.ReadFile(path)
			require.NoError(t, err)
			if apart == nil {
				everyPlace(t, name, b)
				return
			}
			var want figures
			truth, got := apart(t, b)
			for k, v := range truth {
				want.add(k.element, k.date, v.value, v.rejected)
			}
			sameFigures(t, want, got)
		})
		return nil
	})
	require.NoError(t, err)
	require.GreaterOrEqual(t, files, 30)
}

func sameFigures(t *testing.T, want figures, all []weather.Reading) {
	t.Helper()
	var got figures
	for _, r := range all {
		got.add(r.Element, r.Date.String(), r.Value, r.Flags&weather.Rejected != 0)
	}
	t.Logf("%s to %s, %d minima %.1f °C in sum, %d maxima %.1f °C, %d rejected",
		want.first, want.last, want.minima, want.sumMin, want.maxima, want.sumMax, want.rejected)
	require.InDelta(t, want.sumMin, got.sumMin, 1e-5)
	require.InDelta(t, want.sumMax, got.sumMax, 1e-5)
	got.sumMin, got.sumMax = want.sumMin, want.sumMax
	require.Equal(t, want, got)
}

// everyPlace holds that a list has a place for every station that its lines
// name, by the first field of each.
func everyPlace(t *testing.T, name string, b []byte) {
	t.Helper()
	sites, ok := Places(bytes.NewReader(b), name)
	require.True(t, ok)
	ids := map[string]bool{}
	for line := range strings.Lines(string(b)) {
		if f := strings.Fields(line); len(f) > 0 {
			ids[f[0]] = true
		}
	}
	if strings.HasPrefix(name, "eccc") { // a line a detail of one station
		ids = map[string]bool{"1054503": true}
	}
	require.Len(t, sites, len(ids))
	for _, s := range sites {
		require.True(t, ids[s.ID], s.ID)
		require.True(t, s.Located() && math.Abs(s.LatDeg()) <= 90, s.ID)
	}
}
