package archive

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strings"
	"sync"

	"bloomtide/ingest/weather"
)

// Archive is a folder of records for reading. Any number of processes may read
// it while one writes.
type Archive struct {
	dir  string
	room *sync.Pool // of *decoder
}

func newArchive(dir string) *Archive {
	return &Archive{dir: dir, room: &sync.Pool{New: func() any { return new(decoder) }}}
}

// extension ends the name of a station's file.
const extension = ".parquet"

// largestFile bounds a station's file, bytes: a record of mostDays has less
// than 4 MB.
const largestFile = 64 << 20

// longestID bounds an identifier, bytes, so that every file system takes the
// file's name.
const longestID = 80

// Open returns the archive in a folder. A folder that is not there is an empty
// archive. The error says that the name belongs to something else.
func Open(dir string) (*Archive, error) {
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return newArchive(dir), nil
	}
	if err != nil {
		return nil, fmt.Errorf("open the archive: %w", err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("open the archive: %s is not a folder; name a folder with --archive", dir)
	}
	return newArchive(dir), nil
}

// Dir returns the folder.
func (a *Archive) Dir() string { return a.dir }

// File returns the path of a station's file, there or not.
func (a *Archive) File(id string) string {
	return filepath.Join(a.dir, fileName(id))
}

// fileName makes a name of an identifier. What could mean something to a file
// system is written as %XX, a leading point as well.
func fileName(id string) string {
	name := url.QueryEscape(id)
	name = strings.ReplaceAll(name, "+", "%20")
	if strings.HasPrefix(name, ".") {
		name = "%2E" + name[1:]
	}
	return name + extension
}

// stationOf returns the identifier that a file's name stands for.
func stationOf(name string) (id string, ok bool) {
	stem, ok := strings.CutSuffix(name, extension)
	if !ok || strings.HasPrefix(name, ".") {
		return "", false
	}
	id, err := url.QueryUnescape(stem)
	return id, err == nil && id != ""
}

// List returns the identifiers of the stations held, in order.
func (a *Archive) List() ([]string, error) {
	entries, err := os.ReadDir(a.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("list the archive: %w", err)
	}
	var out []string
	for _, e := range entries {
		if id, ok := stationOf(e.Name()); ok && !e.IsDir() {
			out = append(out, id)
		}
	}
	sort.Strings(out)
	return out, nil
}

// Get returns the record of a station. The error wraps ErrNoStation, or is a
// *DamageError.
func (a *Archive) Get(id string) (weather.Series, error) {
	s, err := a.get(id, a.File(id))
	return s, missing(id, err)
}

// get reads the record of a station from a file; errors of the file system
// come as they are.
func (a *Archive) get(id, name string) (weather.Series, error) {
	d := a.room.Get().(*decoder)
	defer a.room.Put(d)
	if err := d.load(name); err != nil {
		return weather.Series{}, err
	}
	s, err := d.read(name, d.file)
	if err == nil && s.Site.ID != id {
		return weather.Series{}, &DamageError{File: name, What: fmt.Sprintf("it holds station %q", s.Site.ID)}
	}
	return s, err
}

// Check reads every day of a station's file and returns its summary. The error
// is one of Get's.
func (a *Archive) Check(id string) (Summary, error) {
	name := a.File(id)
	d := a.room.Get().(*decoder)
	defer a.room.Put(d)
	if err := missing(id, d.load(name)); err != nil {
		return Summary{}, err
	}
	s, _, err := d.scan(name, d.file)
	if err == nil && s.Site.ID != id {
		return Summary{}, &DamageError{File: name, What: fmt.Sprintf("it holds station %q", s.Site.ID)}
	}
	return s, err
}

// missing words that a station's file could not be opened.
func missing(id string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("station %s: %w", id, ErrNoStation)
	}
	var damage *DamageError
	if err != nil && !errors.As(err, &damage) {
		return fmt.Errorf("read the archive: %w", err)
	}
	return err
}

// load reads a whole file into the decoder's room.
func (d *decoder) load(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if info.Size() > largestFile {
		return fmt.Errorf("%s has %d bytes, more than a station's file can have", name, info.Size())
	}
	d.file = slices.Grow(d.file[:0], int(info.Size()))[:info.Size()]
	_, err = io.ReadFull(f, d.file)
	return err
}

// Head returns what the file of a station tells without its days being read;
// its checksum is not looked at. Errors are those of Get.
func (a *Archive) Head(id string) (Summary, error) {
	name := a.File(id)
	f, err := os.Open(name)
	if err := missing(id, err); err != nil {
		return Summary{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return Summary{}, fmt.Errorf("read the archive: %w", err)
	}
	return head(name, f, info.Size())
}

// All gives every record in the order of identifiers, reading some ahead on
// all processors. An error beside an empty series is that of one file, after
// which reading goes on, or that of the folder, which is the last item.
func (a *Archive) All() iter.Seq2[weather.Series, error] {
	return func(yield func(weather.Series, error) bool) {
		ids, err := a.List()
		if err != nil {
			yield(weather.Series{}, err)
			return
		}
		for r := range ahead(ids, a.Get) {
			if !yield(r.value, r.err) {
				return
			}
		}
	}
}

// Heads gives the summary of every record in the order of identifiers, with
// errors as All gives them. Days are not read.
func (a *Archive) Heads() iter.Seq2[Summary, error] { return a.summaries(a.Head) }

// Checks gives what Heads gives and reads every day of every record.
func (a *Archive) Checks() iter.Seq2[Summary, error] { return a.summaries(a.Check) }

func (a *Archive) summaries(read func(id string) (Summary, error)) iter.Seq2[Summary, error] {
	return func(yield func(Summary, error) bool) {
		ids, err := a.List()
		if err != nil {
			yield(Summary{}, err)
			return
		}
		for r := range ahead(ids, read) {
			if !yield(r.value, r.err) {
				return
			}
		}
	}
}

// result is what reading one file gave.
type result[T any] struct {
	value T
	err   error
}

// ahead reads stations on all processors and gives the results in order. It
// holds a few at a time, and stops reading when the taker stops.
func ahead[T any](ids []string, read func(string) (T, error)) iter.Seq[result[T]] {
	return func(yield func(result[T]) bool) {
		workers := runtime.GOMAXPROCS(0)
		queue := make(chan chan result[T], 2*workers)
		jobs := make(chan func())
		stop := make(chan struct{})
		var wg sync.WaitGroup
		defer wg.Wait()
		defer close(stop)
		for range workers {
			wg.Go(func() {
				for job := range jobs {
					job()
				}
			})
		}
		wg.Go(func() {
			defer close(queue)
			defer close(jobs)
			for _, id := range ids {
				out := make(chan result[T], 1)
				select {
				case queue <- out:
				case <-stop:
					return
				}
				jobs <- func() {
					v, err := read(id)
					out <- result[T]{v, err}
				}
			}
		})
		for out := range queue {
			if !yield(<-out) {
				return
			}
		}
	}
}
