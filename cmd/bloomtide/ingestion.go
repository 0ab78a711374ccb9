package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"

	"bloomtide/ingest"
	"bloomtide/ingest/archive"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// ingestion is one run of ingest.
type ingestion struct {
	world
	ctx     context.Context
	unit    format.Unit
	columns format.Columns
	writer  *archive.Writer // nil: nothing is kept
	gauge   *gauge

	mutex    sync.Mutex
	outcomes []fate
	sites    map[string]weather.Site // from lists of stations
	met      map[string]int          // by station: the number of its outcome
	again    bool                    // a station was met in two files that were read side by side
	lines    int
	bad      int
	bare     int
	faults   []error
	failure  error // a file of the archive that is damaged
	locks    [64]sync.Mutex
}

// fate is what became of a station or a file.
type fate struct {
	id, state, text string
	first, last     weather.Date // of a station: what was read of it
}

// Sizes, our choices: above large, a file is read by all processors at once;
// where stations are written, some goroutines wait for the disk.
const (
	largeBytes = 64 << 20
	perWriter  = 2 // goroutines a processor
)

// all reads files: the large layouts fast, then the rest together, since
// publishers put maxima and minima of a station into two files.
func (g *ingestion) all(paths []string) error {
	paths = g.lists(paths)
	rest, err := paths, error(nil)
	if g.unit == format.Auto && g.columns == (format.Columns{}) {
		if rest, err = g.fast(paths); err != nil {
			return err
		}
	}
	if err := g.slow(rest); err != nil {
		return err
	}
	return g.locate()
}

// lists reads the lists of stations among the files and returns the others.
// Those beside the files are read too, after what is named.
func (g *ingestion) lists(paths []string) (rest []string) {
	for _, p := range paths {
		if p == "-" {
			rest = append(rest, p)
			continue
		}
		sites := placesIn(p)
		if len(sites) == 0 {
			rest = append(rest, p)
			continue
		}
		g.lines += len(sites)
		for _, s := range sites {
			g.sites[s.ID] = s
		}
	}
	for _, p := range besides(paths) {
		for _, s := range placesIn(p) {
			if g.sites[s.ID].ID == "" {
				g.sites[s.ID] = s
			}
		}
	}
	return rest
}

// described is a series with what a list of stations knows of its site.
func (g *ingestion) described(s weather.Series) weather.Series {
	known, ok := g.sites[s.Site.ID]
	if site := completed(s.Site, known); ok && !same(site, s.Site) {
		s.Site = site
		s.Sources = []weather.Site{site}
	}
	return s
}

// locate gives the stations that the archive had before what a list of
// stations knows of them.
func (g *ingestion) locate() error {
	if g.writer == nil || len(g.sites) == 0 {
		return nil
	}
	if err := g.writer.Sync(); err != nil {
		return err
	}
	for x, err := range g.writer.Heads() {
		known, ok := g.sites[x.Site.ID]
		if err != nil || !ok || same(completed(x.Site, known), x.Site) {
			continue // a damaged file is named by stations
		}
		s, err := g.writer.Get(x.Site.ID)
		if err != nil {
			continue
		}
		if _, err := g.writer.Put(g.described(s)); err != nil {
			return err
		}
		at := ingest.Report{FirstDate: x.First, LastDate: x.Last, Days: x.Usable, Rejected: x.Rejected}
		g.note(ingest.Record{Series: g.described(s), Report: at}, "changed")
	}
	return nil
}

// fast reads what can be read fast and returns the rest.
func (g *ingestion) fast(paths []string) (rest []string, err error) {
	taken := make([]bool, len(paths))
	var small []int
	for i, p := range paths {
		info, err := os.Stat(p)
		switch {
		case err != nil || !info.Mode().IsRegular():
			continue
		case info.Size() < largeBytes:
			small = append(small, i)
			continue
		}
		writers := runtime.GOMAXPROCS(0)
		if g.writer != nil {
			writers *= perWriter
		}
		if taken[i], err = g.large(p, nil, runtime.GOMAXPROCS(0), writers); err != nil {
			return nil, err
		}
	}
	if err := g.sideBySide(paths, small, taken); err != nil {
		return nil, err
	}
	if g.again { // in the order of the files, so that the last of them stands
		for _, i := range small {
			if !taken[i] {
				continue
			}
			if _, err := g.large(paths[i], nil, 1, 1); err != nil {
				return nil, err
			}
		}
	}
	for i, p := range paths {
		if !taken[i] {
			rest = append(rest, p)
		}
	}
	return rest, nil
}

// sideBySide reads files, several at a time.
func (g *ingestion) sideBySide(paths []string, which []int, taken []bool) error {
	jobs := make(chan int)
	each := 1 // a processor has one file to read
	if g.writer != nil {
		each = perWriter
	}
	workers := min(each*runtime.GOMAXPROCS(0), len(which))
	errs := make([]error, workers)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			room := new(format.Room)
			for i := range jobs {
				if errs[w] == nil {
					taken[i], errs[w] = g.large(paths[i], room, 1, 1)
				}
			}
		})
	}
	for _, i := range which {
		jobs <- i
	}
	close(jobs)
	wg.Wait()
	return errors.Join(errs...)
}

// large reads one file, if it is of a layout that can be read fast. A file that
// is not what it seems is an outcome; the error ends everything.
func (g *ingestion) large(path string, room *format.Room, readers, writers int) (taken bool, err error) {
	if err := g.ctx.Err(); err != nil {
		return false, err
	}
	f, err := os.Open(path)
	if err != nil {
		return false, nil // told when its turn has come
	}
	defer f.Close()
	src := format.LargeSource{Name: path, Reader: f, Workers: readers, Progress: g.gauge.add, Room: room, NoRain: g.writer == nil}
	r, err := ingest.Large(src, writers, g.keep)
	var wrong *format.FileError
	if errors.As(err, &wrong) {
		g.refuse(path, err)
		return true, nil
	}
	if err != nil {
		return false, err
	}
	g.mutex.Lock()
	defer g.mutex.Unlock()
	g.count(r.Lines, r.BadCount, r.Bad)
	g.bare += r.LeftOut
	return r.Processed, nil
}

// count adds what reading a file showed; the mutex is held.
func (g *ingestion) count(lines, bad int, faults []error) {
	g.lines += lines
	g.bad += bad
	g.faults = append(g.faults, faults...)
}

func (g *ingestion) refuse(id string, err error) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	g.outcomes = append(g.outcomes, fate{id: id, state: "refused", text: err.Error()})
}

// keep adds a record to the archive.
func (g *ingestion) keep(r ingest.Record) error {
	id := r.Series.Site.ID
	r.Series = g.described(r.Series)
	lock := &g.locks[stripe(id, len(g.locks))]
	lock.Lock()
	defer lock.Unlock()
	if err := g.ctx.Err(); err != nil {
		return err
	}
	state, err := g.add(r.Series)
	var damage *archive.DamageError
	if errors.As(err, &damage) {
		g.mutex.Lock()
		g.failure = errors.New("a file of the archive is damaged; the reasons stand above")
		g.mutex.Unlock()
		g.refuse(id, err)
		return nil
	}
	if err != nil {
		return err
	}
	g.note(r, state)
	return nil
}

// stripe shares identifiers out to n locks (FNV-1a, Fowler, Noll and Vo).
func stripe(id string, n int) int {
	h := uint32(2166136261)
	for i := range len(id) {
		h = (h ^ uint32(id[i])) * 16777619
	}
	return int(h % uint32(n))
}

// add returns what became of the station.
func (g *ingestion) add(s weather.Series) (state string, err error) {
	if g.writer == nil {
		return "read", nil
	}
	had := g.writer.Holds(s.Site.ID)
	changed, err := g.writer.Add(s)
	switch {
	case err != nil:
		return "", err
	case !had:
		return "added", nil
	case changed:
		return "changed", nil
	}
	return "unchanged", nil
}

// note remembers an outcome; a station met again keeps the stronger one.
func (g *ingestion) note(r ingest.Record, state string) {
	s := r.Series
	n := r.Report
	text := fmt.Sprintf("%s: %s to %s, %d usable days", stationName(s.Site), n.FirstDate, n.LastDate, n.Days)
	if bad := n.Rejected + 2*n.Disordered; bad > 0 {
		text += fmt.Sprintf(", %d values rejected", bad)
	}
	g.mutex.Lock()
	defer g.mutex.Unlock()
	at, ok := g.met[s.Site.ID]
	if !ok {
		g.met[s.Site.ID] = len(g.outcomes)
		g.outcomes = append(g.outcomes, fate{s.Site.ID, state, text, n.FirstDate, n.LastDate})
		return
	}
	g.again = true
	was := &g.outcomes[at]
	if n.FirstDate < was.first || n.LastDate > was.last { // how many days the files have in common is not known here
		was.first, was.last = min(was.first, n.FirstDate), max(was.last, n.LastDate)
		was.text = fmt.Sprintf("%s: %s to %s, in several files", stationName(s.Site), was.first, was.last)
	}
	if slices.Index(states[:], state) < slices.Index(states[:], was.state) {
		was.state = state
	}
}

// slow reads files of any layout, leaving out those that are not what they
// seem.
func (g *ingestion) slow(paths []string) error {
	for len(paths) > 0 {
		records, err := g.collect(paths)
		var wrong *format.FileError
		if errors.As(err, &wrong) {
			at := slices.IndexFunc(paths, func(p string) bool { return p == wrong.File || strings.HasPrefix(wrong.File, p+":") })
			if at < 0 {
				return err
			}
			g.refuse(paths[at], err)
			paths = slices.Delete(slices.Clone(paths), at, at+1)
			continue
		}
		var poor *ingest.PoorDataError
		if errors.As(err, &poor) {
			g.refuse(poor.Station, err)
			return nil
		}
		if err != nil {
			return err
		}
		return g.keepAll(records)
	}
	return nil
}

// collect reads files by the reader that plan uses.
func (g *ingestion) collect(paths []string) ([]ingest.Record, error) {
	in := g.inputsOf(paths)
	for i := range in.sources {
		g.watch(&in.sources[i])
	}
	return ingest.Collect(in.sources, ingest.Options{
		Unit: g.unit, Columns: g.columns, NoFill: true, MinDays: 1, LeaveOut: len(paths) > 1, Decode: decodeParquet,
	})
}

// watch lets the gauge count what is read of a source.
func (g *ingestion) watch(s *ingest.Source) {
	if s.Open == nil {
		s.Reader = g.gauge.through(s.Reader)
		return
	}
	open := s.Open
	s.Open = func() (io.Reader, error) {
		r, err := open()
		if err != nil {
			return nil, err
		}
		return g.gauge.through(r), nil
	}
}

// keepAll keeps records, and tells each note of theirs once.
func (g *ingestion) keepAll(records []ingest.Record) error {
	told := map[string]bool{}
	counted := map[string]bool{}
	for _, r := range records {
		if err := g.keep(r); err != nil {
			return err
		}
		for _, n := range r.Report.Notes {
			if told[n] {
				continue
			}
			told[n] = true
			if why, ok := strings.CutPrefix(n, "left out: "); ok {
				g.refuse(why, errors.New(why))
				continue
			}
			say{g.stderr}.warning("%s", n)
		}
		for _, err := range r.Report.Bad {
			if !counted[err.Error()] {
				counted[err.Error()] = true
				g.faults = append(g.faults, err)
			}
		}
	}
	lines, bad := 0, 0
	for _, r := range records { // files with several stations tell the same number each time
		lines, bad = max(lines, r.Report.Lines), max(bad, r.Report.BadCount)
	}
	g.lines += lines
	g.bad += bad
	return nil
}
