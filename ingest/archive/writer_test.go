package archive_test

import (
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/archive"
	"bloomtide/ingest/weather"
)

// What is kept is known to the writer at once and to everybody else from Sync
// on: a station as it was, or as it is to be.
func TestAStationIsAsItWasUntilSync(t *testing.T) {
	first, later := invented("A", 500, 1), invented("A", 700, 2)
	a := open(t, tempArchive(t), first)
	w, err := a.Write()
	require.NoError(t, err)
	require.True(t, w.Holds("A"))
	require.False(t, w.Holds("B"))
	_, err = w.Get("B")
	require.ErrorIs(t, err, archive.ErrNoStation)
	for _, s := range []bool{true, false} {
		changed, err := w.Put(later)
		require.NoError(t, err)
		require.Equal(t, s, changed, "the same again is known before it is in place")
	}
	_, err = w.Put(invented("B", 20, 3))
	require.NoError(t, err)
	require.True(t, w.Holds("B"))
	got, err := w.Get("A")
	require.NoError(t, err)
	same(t, later, got)
	got, err = a.Get("A")
	require.NoError(t, err)
	same(t, first, got)
	require.NoError(t, w.Sync())
	got, err = a.Get("A")
	require.NoError(t, err)
	same(t, later, got)
	require.NoError(t, w.Close())
	left, err := filepath.Glob(filepath.Join(a.Dir(), ".new-*"))
	require.NoError(t, err)
	require.Empty(t, left, "nor is what was kept twice left behind")
}

// A writer that ends without Close, as a killed one does, changes nothing.
func TestAKilledWriterChangesNothing(t *testing.T) {
	first := invented("A", 500, 1)
	a := open(t, tempArchive(t), first)
	dir := t.TempDir() // the killed writer's folder, without its lock
	require.NoError(t, os.CopyFS(filepath.Join(dir, "copy"), os.DirFS(a.Dir())))
	w, err := archiveAt(t, filepath.Join(dir, "copy")).Write()
	require.NoError(t, err)
	for i := range 50 {
		_, err := w.Put(invented(fmt.Sprint("new", i), 30, uint64(i)))
		require.NoError(t, err)
	}
	_, err = w.Put(invented("A", 700, 2))
	require.NoError(t, err)
	killed := filepath.Join(dir, "killed")
	require.NoError(t, os.CopyFS(killed, os.DirFS(filepath.Join(dir, "copy"))))
	require.NoError(t, w.Close())
	b := archiveAt(t, killed)
	ids, err := b.List()
	require.NoError(t, err)
	require.Equal(t, []string{"A"}, ids)
	got, err := b.Get("A")
	require.NoError(t, err)
	same(t, first, got)
	next, err := b.Write()
	require.NoError(t, err)
	require.NoError(t, next.Close())
	left, err := filepath.Glob(filepath.Join(killed, ".new-*"))
	require.NoError(t, err)
	require.Empty(t, left)
}

// More stations than are put in place at once, from several goroutines, each
// kept twice: what comes out is what went in last.
func TestManyStationsFromManyGoroutines(t *testing.T) {
	a := archiveAt(t, tempArchive(t))
	w, err := a.Write()
	require.NoError(t, err)
	const workers, each = 4, 600 // more than mostStaged together
	var wg sync.WaitGroup
	errs := make(chan error, 4*workers)
	for k := range workers {
		wg.Go(func() {
			for i := range each {
				s := invented(fmt.Sprintf("S%d-%d", k, i), 2, uint64(i))
				for range 2 {
					if _, err := w.Put(s); err != nil {
						errs <- err
						return
					}
					s.Days[0].Min, s.Days[0].MinFlags = 5, weather.Observed
				}
				if got, err := w.Get(s.Site.ID); err != nil || len(got.Days) != 2 {
					errs <- fmt.Errorf("%s has %d days: %w", s.Site.ID, len(got.Days), err)
					return
				}
			}
		})
	}
	wg.Wait()
	require.Empty(t, errs)
	require.Eventually(t, func() bool { // it goes on beside them
		placed, err := a.List()
		return err == nil && len(placed) > 0
	}, time.Minute, time.Millisecond, "so many do not wait for Close")
	require.NoError(t, w.Close())
	n := 0
	for s, err := range a.All() {
		require.NoError(t, err)
		var seed uint64
		var k int
		_, err = fmt.Sscanf(s.Site.ID, "S%d-%d", &k, &seed)
		require.NoError(t, err)
		want := invented(s.Site.ID, 2, seed)
		want.Days[0].Min, want.Days[0].MinFlags = 5, weather.Observed
		same(t, want, s)
		n++
	}
	require.Equal(t, workers*each, n)
}
