package archive

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"bloomtide/ingest/weather"
)

// Writer writes an archive and keeps every other writer out. Its methods may
// be called from several goroutines at once, not two for one station.
type Writer struct {
	*Archive
	lock  *os.File
	mutex sync.Mutex
	dirty bool // a rename has not been made durable yet
}

// Names inside the folder that are no station's. Both start with a point, so
// that patterns such as *.parquet pass over them.
const (
	lockName   = ".lock"
	tempPrefix = ".new-"
)

// Modes of what is created.
const (
	dirMode  = 0o755
	fileMode = 0o644
)

// Write makes the folder where needed and locks it against other writers, here
// and in other processes. It removes what a killed writer left half written.
// The error wraps ErrLocked where another writer is at work.
func (a *Archive) Write() (*Writer, error) {
	if err := os.MkdirAll(a.dir, dirMode); err != nil {
		return nil, fmt.Errorf("make the archive: %w", err)
	}
	f, err := os.OpenFile(filepath.Join(a.dir, lockName), os.O_RDWR|os.O_CREATE, fileMode)
	if err != nil {
		return nil, fmt.Errorf("lock the archive: %w", err)
	}
	if err := lock(f); err != nil {
		return nil, fmt.Errorf("lock the archive %s: %w", a.dir, errors.Join(err, f.Close()))
	}
	w := &Writer{Archive: a, lock: f}
	if err := w.sweep(); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	return w, nil
}

// sweep removes files of writers that were killed.
func (w *Writer) sweep() error {
	entries, err := os.ReadDir(w.dir)
	if err != nil {
		return fmt.Errorf("list the archive: %w", err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), tempPrefix) {
			continue
		}
		if err := os.Remove(filepath.Join(w.dir, e.Name())); err != nil {
			return fmt.Errorf("tidy the archive: %w", err)
		}
	}
	return nil
}

// Put keeps a series in place of what the archive has of its station. It
// reports whether anything changed: the same series again writes nothing.
// A damaged file is replaced.
func (w *Writer) Put(s weather.Series) (changed bool, err error) {
	if len(s.Site.ID) > longestID {
		return false, fmt.Errorf("keep a station: the identifier has %d bytes, more than %d", len(s.Site.ID), longestID)
	}
	b, err := encode(s)
	if err != nil {
		return false, fmt.Errorf("keep a station: %w", err)
	}
	name := w.File(s.Site.ID)
	old, err := os.ReadFile(name)
	if err == nil && bytes.Equal(old, b) {
		return false, nil
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return false, fmt.Errorf("read the archive: %w", err)
	}
	if err := w.replace(name, b); err != nil {
		return false, fmt.Errorf("keep station %s: %w", s.Site.ID, err)
	}
	return true, nil
}

// Add joins a series to what the archive has of its station, by the rule at
// Merge, and reports whether anything changed. The error is a *DamageError
// where what it has cannot be read.
func (w *Writer) Add(s weather.Series) (changed bool, err error) {
	old, err := w.Get(s.Site.ID)
	switch {
	case errors.Is(err, ErrNoStation):
		return w.Put(s)
	case err != nil:
		return false, err
	}
	return w.Put(Merge(old, s))
}

// replace puts a file in place whole or not at all.
func (w *Writer) replace(name string, content []byte) error {
	f, err := os.CreateTemp(w.dir, tempPrefix+"*")
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	err = errors.Join(err, f.Chmod(fileMode), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	w.mutex.Lock()
	w.dirty = true
	w.mutex.Unlock()
	return nil
}

// Sync makes sure that everything kept so far outlives a loss of power.
func (w *Writer) Sync() error {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if !w.dirty {
		return nil
	}
	if err := syncDir(w.dir); err != nil {
		return fmt.Errorf("make the archive durable: %w", err)
	}
	w.dirty = false
	return nil
}

// Close makes everything kept durable and lets other writers in.
func (w *Writer) Close() error {
	return errors.Join(w.Sync(), w.lock.Close())
}
