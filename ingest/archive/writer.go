package archive

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"

	"bloomtide/ingest/weather"
)

// Writer writes an archive and keeps every other writer out. Its methods may
// be called from several goroutines at once, not two for one station.
//
// What is kept is first written beside the archive and put in place with many
// others, since a disk takes as long to confirm one file as hundreds. Get, Holds
// and Add know of it at once; everybody else does from Sync or Close on. A
// writer that is killed leaves every station as it was or as it is to be.
type Writer struct {
	*Archive
	release  func() error // lets other writers in
	encoders sync.Pool    // of *encoder
	number   atomic.Int64 // of files written beside the archive
	loose    looseFiles   // that are not in place

	placing sync.Mutex // held while files are put in place, which is done beside what fills the next batch
	dirty   bool       // a name in the folder may not be durable yet; under placing
	failed  error      // of a batch that was put in place beside; under placing

	reading sync.RWMutex // held while a file that is not in place is read, so that its path stays its own

	mutex  sync.Mutex      // guards what follows
	held   map[string]bool // by path: the files in place; nobody else adds any while the lock is held
	staged staged
	moving staged // being put in place
}

// staged are files that are not in place yet.
type staged struct {
	files map[string]string // by the place where each belongs, where it is
	size  int64             // bytes
}

// Bounds of what is put in place at once, our choice: enough to make waiting
// for the disk rare, few enough that a kill costs little work.
const (
	mostStaged      = 2048
	mostWaiting     = 4 * mostStaged // while a batch before is put in place
	mostStagedBytes = 128 << 20
)

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
	release, err := Hold(filepath.Join(a.dir, lockName))
	if err != nil {
		return nil, fmt.Errorf("lock the archive: %w", err)
	}
	w := &Writer{
		Archive: a, release: release, held: map[string]bool{}, encoders: sync.Pool{New: func() any { return new(encoder) }},
	}
	if err := w.sweep(); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	return w, nil
}

// sweep removes files of writers that were killed, and remembers the others.
func (w *Writer) sweep() error {
	entries, err := os.ReadDir(w.dir)
	if err != nil {
		return fmt.Errorf("list the archive: %w", err)
	}
	for _, e := range entries {
		path := filepath.Join(w.dir, e.Name())
		if !strings.HasPrefix(e.Name(), tempPrefix) {
			w.held[path] = true
			continue
		}
		if err := os.Remove(path); err != nil {
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
	e := w.encoders.Get().(*encoder)
	defer w.encoders.Put(e)
	b, err := e.encode(s)
	if err != nil {
		return false, fmt.Errorf("keep a station: %w", err)
	}
	name := w.File(s.Site.ID)
	var old []byte
	err = w.whereIs(name, func(path string) (err error) {
		old, err = os.ReadFile(path)
		return err
	})
	if err == nil && bytes.Equal(old, b) {
		return false, nil
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return false, fmt.Errorf("read the archive: %w", err)
	}
	if err := w.stage(name, b); err != nil {
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

// Get is that of Archive, and knows what was kept since Sync.
func (w *Writer) Get(id string) (s weather.Series, err error) {
	name := w.File(id)
	err = w.whereIs(name, func(path string) (err error) {
		s, err = w.get(id, path)
		return err
	})
	return s, missing(id, err)
}

// Holds reports whether the archive has a station, damaged or not.
func (w *Writer) Holds(id string) bool {
	return w.whereIs(w.File(id), func(path string) error {
		_, err := os.Lstat(path)
		return err
	}) == nil
}

// whereIs calls read with the path of a station's file: the place where it
// belongs, or where it waits for being put there. The error is that of read.
func (w *Writer) whereIs(name string, read func(path string) error) error {
	w.reading.RLock()
	defer w.reading.RUnlock()
	w.mutex.Lock()
	path, ok := w.staged.files[name]
	if !ok {
		path, ok = w.moving.files[name]
	}
	held := w.held[name]
	w.mutex.Unlock()
	if ok {
		if err := read(path); !errors.Is(err, fs.ErrNotExist) {
			return err
		} // else it has just been put in place
	} else if !held {
		return fs.ErrNotExist
	}
	return read(name)
}

// stage writes a file beside the archive; name is where it belongs.
func (w *Writer) stage(name string, content []byte) error {
	path, err := w.loose.create(filepath.Join(w.dir, tempPrefix+strconv.FormatInt(w.number.Add(1), 10)), content)
	if err != nil {
		return err
	}
	w.mutex.Lock()
	before, again := w.staged.files[name]
	if w.staged.files == nil {
		w.staged.files = map[string]string{}
	}
	w.staged.files[name] = path
	w.staged.size += int64(len(content))
	full := w.staged.full()
	w.mutex.Unlock()
	if again {
		if err := w.loose.drop(before); err != nil {
			return err
		}
	}
	if full {
		return w.placeBeside()
	}
	return nil
}

func (s *staged) full() bool { return len(s.files) >= mostStaged || s.size >= mostStagedBytes }

// placeBeside begins to put the staged files in place, unless a batch is under way
// that more can wait for. The error is that of an earlier batch.
func (w *Writer) placeBeside() error {
	if !w.placing.TryLock() {
		w.mutex.Lock()
		wait := len(w.staged.files) >= mostWaiting || w.staged.size >= mostStagedBytes
		w.mutex.Unlock()
		if !wait {
			return nil
		}
		w.placing.Lock()
	}
	if !w.take(false) { // another goroutine was faster
		defer w.placing.Unlock()
		return w.failed
	}
	err := w.failed
	go func() {
		defer w.placing.Unlock()
		w.failed = errors.Join(w.failed, w.place())
	}()
	return err
}

// take makes the staged files those that are being put in place; false for
// nothing to do. Unless all is set it takes only a full batch.
func (w *Writer) take(all bool) bool {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if len(w.staged.files) == 0 || !all && !w.staged.full() {
		return false
	}
	w.moving, w.staged = w.staged, staged{}
	return true
}

// place puts the files that were taken in place, each whole or not at all: their
// bytes are on the disk before the first gets its name.
func (w *Writer) place() error {
	paths := slices.Collect(maps.Values(w.moving.files))
	err := durable(w.dir, paths)
	placed := make(map[string]bool, len(paths)) // by path
	for name, path := range w.moving.files {
		if err == nil {
			err = w.loose.place(path, name)
			w.dirty = true
		}
		placed[path] = err == nil
	}
	w.mutex.Lock()
	for name, path := range w.moving.files {
		if placed[path] {
			w.held[name] = true
		}
	}
	w.moving = staged{}
	w.mutex.Unlock()
	w.reading.Lock() // only now may a path become that of another
	defer w.reading.Unlock()
	for path, done := range placed {
		if done {
			err = errors.Join(err, w.loose.release(path))
		} else {
			err = errors.Join(err, w.loose.drop(path))
		}
	}
	return err
}

// Sync puts everything kept so far in place and makes sure that it outlives a
// loss of power.
func (w *Writer) Sync() error {
	w.placing.Lock()
	defer w.placing.Unlock()
	err := w.failed
	w.failed = nil
	if w.take(true) {
		err = errors.Join(err, w.place())
	}
	if err != nil {
		return fmt.Errorf("make the archive durable: %w", err)
	}
	if !w.dirty {
		return nil
	}
	if err := syncDir(w.dir); err != nil {
		return fmt.Errorf("make the archive durable: %w", err)
	}
	w.dirty = false
	return nil
}

// Close does what Sync does and lets other writers in.
func (w *Writer) Close() error {
	return errors.Join(w.Sync(), w.release())
}
