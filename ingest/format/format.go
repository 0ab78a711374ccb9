// Package format reads daily temperature records as their publishers print
// them: one file of this package a published layout, over one splitter of
// lines. It recognises compression, encoding and layout from the content, and
// it gets an io.Reader, so it opens nothing by itself.
//
// A bad line is a *weather.SyntaxError in the stream of readings, and reading
// goes on. What ends the reading is a *FileError. Numbers that stand for "no
// value" never leave this package, and neither does a value that cannot be on
// earth, unless its flags say that its publisher rejected it.
package format

import (
	"archive/zip"
	"bytes"
	"compress/bzip2"
	"compress/flate"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"iter"

	"bloomtide/ingest/weather"

	"github.com/klauspost/compress/zstd"
)

// Columns names the user's own columns; an empty name is recognised by itself.
type Columns struct {
	Date string
	TMin string
	TMax string
	Rain string
}

// Options say what the file cannot.
type Options struct {
	Name    string  // the file's name, for messages and for a station without one
	Unit    Unit    // unit of temperatures where layout and header leave it open
	Columns Columns // the user's names of columns

	// MostUnpacked is how many bytes a compressed file may give while it gives
	// more than bombRatio times what it takes; default 1 GiB.
	MostUnpacked int64
}

// File is a record being read. Use it once, from one goroutine.
type File struct {
	name       string
	options    Options
	layout     string
	notes      []string
	queue      []*stream // recognised, waiting to be read
	rest       []part    // members of an archive not yet looked at
	book       *book
	lines      int
	outOfRange int
}

// part is a member of an archive.
type part struct {
	name string
	open func() (io.ReadCloser, error)
}

// stream is one recognised text.
type stream struct {
	name   string
	layout string
	data   bool // holds readings, not only sites
	lines  *lines
	rows   rows
	skip   int // number of the header line, 0 for none
	close  func() error
}

// Open recognises what r holds. The error is a *FileError.
func Open(r io.Reader, o Options) (*File, error) {
	f := &File{name: o.Name, options: o, book: newBook()}
	if f.name == "" {
		f.name = "standard input"
	}
	br := buffered(r)
	magic, err := br.Peek(4)
	if len(magic) == 0 {
		return nil, f.unreadable(err)
	}
	if bytes.HasPrefix(magic, []byte("PK\x03\x04")) || bytes.HasPrefix(magic, []byte("PK\x05\x06")) {
		return f, f.openZip(r, br)
	}
	br, closed, err := f.unpack(br, magic)
	if err != nil {
		return nil, f.broken(0, err)
	}
	s, err := f.recognise(f.name, br)
	if err != nil {
		closed()
		return nil, err
	}
	s.close = func() error { closed(); return nil }
	f.layout, f.queue = s.layout, []*stream{s}
	return f, nil
}

func (f *File) unreadable(err error) error {
	if err == nil || errors.Is(err, io.EOF) {
		return &FileError{File: f.name, What: "the file is empty", Mend: "give a file with daily temperatures"}
	}
	return f.broken(0, err)
}

// broken words an I/O error at a line.
func (f *File) broken(line int, err error) error {
	e := &FileError{File: f.name, Line: line, What: "reading stopped", Err: err}
	switch {
	case errors.Is(err, errBomb):
		e.What, e.Mend = "unpacking stopped", "unpack it and look at it; a record of days packs to a hundredth at best"
	case errors.Is(err, zstd.ErrWindowSizeExceeded), errors.Is(err, zstd.ErrDecoderSizeExceeded):
		e.What, e.Mend = "unpacking would take more than 128 MiB of memory", "pack it again without --long or --ultra, or unpack it and give the file"
	case errors.Is(err, io.ErrUnexpectedEOF):
		e.What, e.Mend = "the compressed file ends too early", "fetch or copy it again"
	case damaged(err):
		e.What, e.Mend = "the compressed file is damaged", "fetch or copy it again"
	default:
		e.Mend = "check the file and the disk, or fetch it again"
	}
	return e
}

// damaged reports whether an error says that compressed bytes are wrong.
func damaged(err error) bool {
	var inflate flate.CorruptInputError
	var bunzip bzip2.StructuralError
	return errors.Is(err, errPacked) || errors.Is(err, gzip.ErrChecksum) || errors.Is(err, gzip.ErrHeader) || errors.Is(err, zip.ErrChecksum) ||
		errors.As(err, &inflate) || errors.As(err, &bunzip)
}

// Layout returns the name of the layout, such as "GHCN-Daily by-station CSV".
func (f *File) Layout() string { return f.layout }

// Notes returns what a user should know of how the file was read.
func (f *File) Notes() []string { return f.notes }

// Lines returns the number of lines read below the header so far.
func (f *File) Lines() int { return f.lines }

// OutOfRange returns the number of values met so far that cannot be on earth
// in the unit of the file. Each is a *weather.SyntaxError in the stream too.
func (f *File) OutOfRange() int { return f.outOfRange }

// Sites returns the stations met, in the order met; complete once Readings is
// drained. An unknown position is weather.Nowhere, an unknown height NaN.
func (f *File) Sites() []weather.Site { return f.book.sites }

func (f *File) note(format string, a ...any) {
	const most = 50
	if len(f.notes) < most {
		f.notes = append(f.notes, fmt.Sprintf(format, a...))
	}
}

// Readings gives the readings in the order of the file. An error beside a zero
// Reading is a *weather.SyntaxError for a bad line, after which reading goes
// on, or a *FileError, which is the last item.
func (f *File) Readings() iter.Seq2[weather.Reading, error] {
	return func(yield func(weather.Reading, error) bool) {
		for {
			s, err := f.nextStream()
			if err != nil {
				yield(weather.Reading{}, err)
				return
			}
			if s == nil {
				return
			}
			ok := f.read(s, yield)
			if s.close != nil {
				if err := s.close(); err != nil && ok {
					f.note("%s: %v", s.name, err)
				}
			}
			if !ok {
				return
			}
		}
	}
}

// read gives the readings of one stream; false ends all reading.
func (f *File) read(s *stream, yield func(weather.Reading, error) bool) bool {
	k := sink{file: s.name, book: f.book}
	defer func() { f.outOfRange += k.outOfRange }()
	for {
		line, err := s.lines.next()
		k.line, k.torn = s.lines.n, s.lines.torn
		switch {
		case err == nil:
			if k.line <= s.skip {
				continue
			}
			f.lines++
			s.rows.row(line, &k)
		case errors.Is(err, errLong):
			f.lines++
			k.fault(0, nil, err.Error(), "is this a text with lines?")
		case errors.Is(err, io.EOF):
			s.rows.end(&k)
			return f.flush(&k, yield)
		default:
			s.rows.end(&k)
			if f.flush(&k, yield) {
				yield(weather.Reading{}, f.broken(k.line, err))
			}
			return false
		}
		if !f.flush(&k, yield) {
			return false
		}
	}
}

// flush gives what a line held and empties the sink.
func (f *File) flush(k *sink, yield func(weather.Reading, error) bool) bool {
	for _, e := range k.faults {
		if !yield(weather.Reading{}, e) {
			return false
		}
	}
	for _, r := range k.out {
		if !yield(r, nil) {
			return false
		}
	}
	k.out, k.faults = k.out[:0], k.faults[:0]
	return true
}
