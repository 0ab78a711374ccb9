package archive_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/parquet-go/parquet-go"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/archive"
	"bloomtide/ingest/weather"
)

// open makes an archive with the series in it.
func open(t require.TestingT, dir string, all ...weather.Series) *archive.Archive {
	a, err := archive.Open(dir)
	require.NoError(t, err)
	w, err := a.Write()
	require.NoError(t, err)
	for _, s := range all {
		changed, err := w.Put(s)
		require.NoError(t, err)
		require.True(t, changed)
	}
	require.NoError(t, w.Close())
	return a
}

func TestWhatGoesInComesOut(t *testing.T) {
	bare := weather.Series{
		Site:  weather.Site{ID: "bare", Point: weather.Nowhere(), ElevM: math.NaN()},
		Start: -30000, Days: make([]weather.Day, 3),
	}
	dead := invented("below", 10, 3)
	dead.Site.ElevM, dead.Site.Point = -430, orb.Point{180, -90}
	dead.Sources = []weather.Site{dead.Site, bare.Site}
	all := []weather.Series{
		invented("USC00012345", 9000, 1), windy(invented("USW00012345", 9000, 3), 1), bare, dead, invented("one", 1, 2),
	}
	a := open(t, tempArchive(t), all...)
	ids, err := a.List()
	require.NoError(t, err)
	require.Equal(t, []string{"USC00012345", "USW00012345", "bare", "below", "one"}, ids)
	holds(t, a, all)
	_, err = a.Get("nowhere")
	require.ErrorIs(t, err, archive.ErrNoStation)
	require.ErrorContains(t, err, "nowhere")
}

// holds demands that an archive has these series and no other, in their order.
func holds(t *testing.T, a *archive.Archive, all []weather.Series) {
	i := 0
	for s, err := range a.All() {
		require.NoError(t, err)
		same(t, all[i], s)
		i++
	}
	require.Len(t, all, i)
}

func TestEverySeriesComesBack(t *testing.T) {
	dir := tempArchive(t)
	rapid.Check(t, func(t *rapid.T) {
		s := weather.Series{Start: weather.Date(rapid.Int32Range(-98000, 84000).Draw(t, "start"))}
		s.Site = weather.Site{
			ID:    rapid.StringMatching(`[A-Za-z0-9 ./%:_+é-]{1,20}`).Draw(t, "id"),
			Name:  rapid.String().Draw(t, "name"),
			Point: orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t, "lat")},
			ElevM: rapid.Float64Range(-500, 9000).Draw(t, "elev"),
		}
		s.Site.Name = strings.ToValidUTF8(s.Site.Name, "?")
		flags := rapid.SampledFrom([]weather.Flags{0, 1, 2, 5, 6, 4})
		tenths := rapid.IntRange(-900, 600)
		s.Days = make([]weather.Day, rapid.IntRange(1, 400).Draw(t, "days"))
		measures := rapid.Bool().Draw(t, "measures wind")
		for i := range s.Days {
			d := &s.Days[i]
			if d.MinFlags = flags.Draw(t, "low"); d.MinFlags != 0 {
				d.Min = weather.Celsius(tenths.Draw(t, "min")) / 10
			}
			if d.MaxFlags = flags.Draw(t, "high"); d.MaxFlags != 0 {
				d.Max = weather.Celsius(tenths.Draw(t, "max")) / 10
			}
			if !measures {
				continue
			}
			if d.WindFlags = flags.Draw(t, "wind"); d.WindFlags != 0 {
				d.WindMs = float64(rapid.IntRange(0, 1200).Draw(t, "ms")) / 10
			}
		}
		a := archiveAt(t, dir)
		w, err := a.Write()
		require.NoError(t, err)
		_, err = w.Put(s)
		require.NoError(t, err)
		changed, err := w.Put(s)
		require.NoError(t, err)
		require.False(t, changed, "the same again")
		require.NoError(t, w.Close())
		got, err := a.Get(s.Site.ID)
		require.NoError(t, err)
		same(t, s, got)
		h, err := a.Head(s.Site.ID)
		require.NoError(t, err)
		c, err := a.Check(s.Site.ID)
		require.NoError(t, err)
		require.Equal(t, c, h)
		require.Equal(t, s.Usable(s.Start, s.End()), h.Usable)
		wind := 0
		for _, d := range s.Days {
			if d.WindFlags.Usable() {
				wind++
			}
		}
		require.Equal(t, wind, h.Wind)
		require.Equal(t, archive.Summarise(s).Counts, h.Counts)
		require.Equal(t, filepath.Dir(a.File(s.Site.ID)), a.Dir(), "no identifier leads out of the folder")
	})
}

func archiveAt(t require.TestingT, dir string) *archive.Archive {
	a, err := archive.Open(dir)
	require.NoError(t, err)
	return a
}

// The rows as the generic reader of parquet-go has them, which knows nothing
// of how this package puts pages together.
func TestRowsAsAnotherReaderHasThem(t *testing.T) {
	type row struct {
		Station string `parquet:"station"`
		Date    int32  `parquet:"date,date"`
		Min     *int32 `parquet:"tmin_tenths_c,optional"`
		Max     *int32 `parquet:"tmax_tenths_c,optional"`
		Rain    *int32 `parquet:"rain_tenths_mm,optional"`
		MinFlag uint8  `parquet:"tmin_flags"`
		MaxFlag uint8  `parquet:"tmax_flags"`
		Wind    *int32 `parquet:"wind_tenths_ms,optional"`
		WindFl  uint8  `parquet:"wind_flags"`
	}
	s := windy(invented("USC00012345", 5000, 1), 1)
	a := open(t, tempArchive(t), s)
	rows, err := parquet.ReadFile[row](a.File(s.Site.ID))
	require.NoError(t, err)
	require.Len(t, rows, len(s.Days))
	for i, r := range rows {
		d := s.Days[i]
		require.Equal(t, s.Site.ID, r.Station)
		require.Equal(t, int32(s.Start)+int32(i), r.Date)
		tenths := func(known weather.Flags, v float64, got *int32) {
			require.Equal(t, known != 0, got != nil, "day %d", i)
			if got != nil {
				require.InDelta(t, v*10, float64(*got), 1e-9)
			}
		}
		tenths(d.MinFlags, float64(d.Min), r.Min)
		tenths(d.MaxFlags, float64(d.Max), r.Max)
		tenths(d.RainFlags, d.RainMm, r.Rain)
		tenths(d.WindFlags, d.WindMs, r.Wind)
		require.Equal(t, uint8(d.WindFlags), r.WindFl)
		require.Equal(t, uint8(d.MinFlags), r.MinFlag)
		require.Equal(t, uint8(d.MaxFlags), r.MaxFlag)
	}
}

func TestTheSameAgainTouchesNothing(t *testing.T) {
	s := invented("A", 700, 1)
	a := open(t, tempArchive(t), s)
	before, err := os.Stat(a.File("A"))
	require.NoError(t, err)
	w, err := a.Write()
	require.NoError(t, err)
	for _, add := range []func(weather.Series) (bool, error){w.Put, w.Add} {
		changed, err := add(s)
		require.NoError(t, err)
		require.False(t, changed)
	}
	require.NoError(t, w.Close())
	after, err := os.Stat(a.File("A"))
	require.NoError(t, err)
	require.True(t, os.SameFile(before, after), "not even replaced by an equal one")
	require.Equal(t, before.ModTime(), after.ModTime())
}

// Every octet of a small file is changed in turn: each is found and the file
// named. A checksum of 32 bits finds all errors of one octet.
func TestEveryDamagedOctetIsFound(t *testing.T) {
	a := open(t, tempArchive(t), windy(invented("A", 40, 1), 1))
	name := a.File("A")
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	for i := range whole {
		b := bytes.Clone(whole)
		b[i] ^= 1 << (i % 8)
		_, err := archive.Decode(name, b)
		var damage *archive.DamageError
		require.ErrorAs(t, err, &damage, "octet %d of %d", i, len(whole))
		require.Contains(t, damage.Error(), name)
	}
	for n := range len(whole) {
		_, err := archive.Decode(name, whole[:n])
		require.Error(t, err, "cut at %d", n)
	}
}

func TestADamagedFileIsNamedAndReadingGoesOn(t *testing.T) {
	a := open(t, tempArchive(t), invented("A", 400, 1), invented("B", 400, 2), invented("C", 400, 3))
	b, err := os.ReadFile(a.File("B"))
	require.NoError(t, err)
	b[len(b)/3] ^= 0x10
	require.NoError(t, os.WriteFile(a.File("B"), b, 0o644))
	var read []string
	var faults []error
	for s, err := range a.All() {
		if err != nil {
			faults = append(faults, err)
			continue
		}
		read = append(read, s.Site.ID)
	}
	require.Equal(t, []string{"A", "C"}, read)
	require.Len(t, faults, 1)
	require.ErrorContains(t, faults[0], a.File("B"))
	require.NoError(t, os.Rename(a.File("C"), a.File("D")))
	_, err = a.Get("D")
	require.ErrorContains(t, err, `it holds station "C"`)
}

func TestOneWriterAtATime(t *testing.T) {
	dir := tempArchive(t)
	first, err := archiveAt(t, dir).Write()
	require.NoError(t, err)
	_, err = archiveAt(t, dir).Write()
	require.ErrorIs(t, err, archive.ErrLocked)
	require.ErrorContains(t, err, dir)
	require.NoError(t, first.Close())
	second, err := archiveAt(t, dir).Write()
	require.NoError(t, err)
	require.NoError(t, second.Close())
}

// What a killed writer leaves is no station, and the next writer removes it.
func TestLeftoversAreSwept(t *testing.T) {
	a := open(t, tempArchive(t), invented("A", 400, 1))
	left := filepath.Join(a.Dir(), ".new-123")
	require.NoError(t, os.WriteFile(left, []byte("PAR1 half"), 0o644))
	ids, err := a.List()
	require.NoError(t, err)
	require.Equal(t, []string{"A"}, ids)
	w, err := a.Write()
	require.NoError(t, err)
	require.NoError(t, w.Close())
	require.NoFileExists(t, left)
}

// Readers at work while a writer replaces files meet one of the two versions,
// whole, and never none.
func TestReadersMeetTheOldOrTheNew(t *testing.T) {
	versions := []weather.Series{invented("A", 500, 1), invented("A", 700, 2)}
	a := open(t, tempArchive(t), versions[0])
	done := make(chan struct{})
	var wg sync.WaitGroup
	faults := make(chan string, 8)
	for range 4 {
		wg.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				s, err := a.Get("A")
				if err != nil || len(s.Days) != 500 && len(s.Days) != 700 {
					faults <- fmt.Sprint(len(s.Days), " days, ", err)
					return
				}
			}
		})
	}
	w, err := a.Write()
	require.NoError(t, err)
	for i := range 40 {
		changed, err := w.Put(versions[(i+1)%2])
		require.NoError(t, err)
		require.True(t, changed)
		require.NoError(t, w.Sync())
	}
	close(done)
	wg.Wait()
	require.NoError(t, w.Close())
	require.Empty(t, faults)
}

func TestWhatCannotBeKept(t *testing.T) {
	w, err := archiveAt(t, tempArchive(t)).Write()
	require.NoError(t, err)
	for want, s := range map[string]weather.Series{
		"without an identifier": {Days: make([]weather.Day, 1)},
		"no day to keep":        {Site: weather.Site{ID: "A"}},
		"more than a record":    {Site: weather.Site{ID: "A"}, Days: make([]weather.Day, 200000)},
		"identifier has 81":     {Site: weather.Site{ID: strings.Repeat("x", 81)}, Days: make([]weather.Day, 1)},
	} {
		_, err := w.Put(s)
		require.ErrorContains(t, err, want)
	}
	require.NoError(t, w.Close())
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	_, err = archive.Open(file)
	require.ErrorContains(t, err, "is not a folder")
	none := archiveAt(t, file+"-none")
	ids, err := none.List()
	require.NoError(t, err)
	require.Empty(t, ids)
}
