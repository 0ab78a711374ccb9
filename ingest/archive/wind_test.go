package archive_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/archive"
	"bloomtide/ingest/weather"
)

// beforeWind was written by the commit before wind was kept, from eleven lines
// of the by-year layout, three of them wind:
//
//	2024-01-01 TMAX 50, TMIN -12, PRCP 3, AWND 34
//	2024-01-02 TMAX 550 rejected, TMIN -20, AWND 700 rejected
//	2024-01-03 PRCP 0
//	2024-01-04 TMAX 61, TMIN 5, AWND 0
const beforeWind = "before-wind.parquet"

// A file of before wind was kept is read as one without wind; reading its input
// again adds the wind.
func TestFilesOfBeforeWindWasKept(t *testing.T) {
	name := filepath.Join("testdata", beforeWind)
	content, err := os.ReadFile(name)
	require.NoError(t, err)
	s, err := archive.Decode(name, content)
	require.NoError(t, err)
	const o, bad = weather.Observed, weather.Observed | weather.Rejected
	without := []weather.Day{
		{Min: -1.2, Max: 5, RainMm: 0.3, MinFlags: o, MaxFlags: o, RainFlags: o},
		{Min: -2, Max: 55, MinFlags: o, MaxFlags: bad},
		{RainFlags: o},
		{Min: 0.5, Max: 6.1, MinFlags: o, MaxFlags: o},
	}
	require.Equal(t, without, s.Days)
	a := open(t, tempArchive(t), s)
	got, err := a.Get(s.Site.ID)
	require.NoError(t, err)
	require.Equal(t, without, got.Days)

	again := s
	again.Days = append([]weather.Day(nil), s.Days...)
	for i, wind := range map[int]weather.Day{0: {WindMs: 3.4, WindFlags: o}, 1: {WindMs: 70, WindFlags: bad}, 3: {WindFlags: o}} {
		again.Days[i].WindMs, again.Days[i].WindFlags = wind.WindMs, wind.WindFlags
	}
	w, err := a.Write()
	require.NoError(t, err)
	for _, changes := range []bool{true, false} {
		changed, err := w.Add(again)
		require.NoError(t, err)
		require.Equal(t, changes, changed)
	}
	changed, err := w.Add(s)
	require.NoError(t, err)
	require.False(t, changed, "a record without wind takes none away")
	require.NoError(t, w.Close())
	got, err = a.Get(s.Site.ID)
	require.NoError(t, err)
	require.Equal(t, again.Days, got.Days)
	sum, err := a.Check(s.Site.ID)
	require.NoError(t, err)
	require.Equal(t, 2, sum.Wind)
}

// Every file has the columns of wind, also of a station that measures none or
// only what cannot be. A decoder that has read a windy file finds none in the next.
func TestColumnsOfWindAreAlwaysThere(t *testing.T) {
	calm := invented("A", 400, 1)
	odd := calm
	odd.Days = append([]weather.Day(nil), calm.Days...)
	odd.Days[7].WindMs, odd.Days[7].WindFlags = 99999, weather.Observed|weather.Rejected
	for _, s := range []weather.Series{windy(calm, 1), calm, odd} {
		a := open(t, tempArchive(t), s)
		b, err := os.ReadFile(a.File("A"))
		require.NoError(t, err)
		for _, name := range []string{"wind_tenths_ms", "wind_flags", "bloomtide.wind_days"} {
			require.Contains(t, string(b), name)
		}
	}
	mixed := []weather.Series{windy(invented("A", 400, 1), 1), invented("B", 400, 2), windy(invented("C", 300, 3), 2), invented("D", 500, 4)}
	a := open(t, tempArchive(t), mixed...)
	for range 3 {
		holds(t, a, mixed)
	}
}
