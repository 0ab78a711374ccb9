package format

import (
	"bytes"
	"errors"
	"io"

	"bloomtide/ingest/weather"
)

// pieceSize is how much is read at a time, bytes: our choice, it fits the
// second cache with room to spare.
const pieceSize = 256 << 10

// slack is how much stays readable behind the last byte of a piece, so that
// whole words may be loaded there.
const slack = 64

// errNotLarge tells that a file is beyond what a reader of large files takes,
// so that Open has to read it.
var errNotLarge = errors.New("not for the reader of large files")

// LargeSource is a large file. Where Reader is an io.ReaderAt and an io.Seeker
// too, as a file is, it is read from several places at once.
type LargeSource struct {
	Name     string      // for messages
	Reader   io.Reader   // at the start of the file
	Workers  int         // goroutines; below 1: one
	NoRain   bool        // rain and wind are looked at for faults only, which saves memory; by-station files keep them
	Progress func(int64) // told of bytes as they are read, from several goroutines; may be nil
	Room     *Room       // kept from one file to the next by the same goroutine; nil: none
}

// Room is memory that a reader of many files uses again. The zero value is
// ready.
type Room struct {
	buf   []byte
	cells []dayCells
	wind  []cell
	days  []weather.Day
}

// take returns the room of a source, its own or a new one.
func (in *LargeSource) take() *Room {
	if in.Room != nil {
		return in.Room
	}
	return new(Room)
}

// eachPiece reads to the end and gives whole lines: b[:end], with slack bytes
// after that mean nothing. Only the last line may lack its end.
func eachPiece(r io.Reader, room *Room, fn func(b []byte, end int) error) error {
	if room.buf == nil {
		room.buf = make([]byte, pieceSize+slack)
	}
	buf := room.buf
	rest := 0
	for {
		n, err := io.ReadFull(r, buf[rest:pieceSize])
		got := buf[:rest+n]
		atEnd := errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) && n < pieceSize-rest
		end := bytes.LastIndexByte(got, '\n') + 1
		if atEnd && ended(err, r) {
			end = len(got)
		}
		if end > 0 {
			if err := fn(buf[:end+slack], end); err != nil {
				return err
			}
		}
		switch {
		case atEnd && ended(err, r):
			return nil
		case err != nil:
			return err
		case end == 0:
			return errNotLarge // a line longer than a piece
		}
		rest = copy(buf, got[end:])
	}
}

// ended tells the end of a file from a compressed one that breaks off: both
// come as io.ErrUnexpectedEOF from io.ReadFull, so readers that may break off
// say so themselves.
func ended(err error, r io.Reader) bool {
	b, ok := r.(breaks)
	return err != nil && (!ok || b.broken() == nil)
}

// boundaries cuts a file into n shares of whole lines: share i is from [i] to
// [i+1].
func boundaries(r io.ReaderAt, size int64, n int) ([]int64, error) {
	out := make([]int64, n+1)
	out[n] = size
	buf := make([]byte, 4096)
	for i := 1; i < n; i++ {
		at := max(size*int64(i)/int64(n), out[i-1])
		for at < size {
			got, err := r.ReadAt(buf[:min(int64(len(buf)), size-at)], at)
			if err != nil && !errors.Is(err, io.EOF) {
				return nil, err
			}
			if got == 0 {
				return nil, io.ErrUnexpectedEOF
			}
			if j := bytes.IndexByte(buf[:got], '\n'); j >= 0 {
				at += int64(j) + 1
				break
			}
			at += int64(got)
		}
		out[i] = at
	}
	return out, nil
}

// anywhere finds the size of a reader that can be read from anywhere.
func anywhere(r io.Reader) (ra io.ReaderAt, size int64, ok bool) {
	ra, okAt := r.(io.ReaderAt)
	s, okSeek := r.(io.Seeker)
	if !okAt || !okSeek {
		return nil, 0, false
	}
	size, err := s.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, 0, false
	}
	_, err = s.Seek(0, io.SeekStart)
	return ra, size, err == nil
}

// chunk is a part of a stream that has been read ahead.
type chunk struct {
	b   []byte
	err error
}

// readAhead reads a stream in a goroutine of its own, so that unpacking and
// reading run side by side.
type readAhead struct {
	full, free chan chunk
	stop       chan struct{}
	now        chunk
	at         int
	err        error
}

// chunks is how many parts may wait: enough that neither side does.
const chunks = 8

func newReadAhead(r io.Reader) *readAhead {
	a := &readAhead{full: make(chan chunk, chunks), free: make(chan chunk, chunks), stop: make(chan struct{})}
	for range chunks {
		a.free <- chunk{b: make([]byte, pieceSize)}
	}
	go a.fill(r)
	return a
}

func (a *readAhead) fill(r io.Reader) {
	for {
		var c chunk
		select {
		case c = <-a.free:
		case <-a.stop:
			return
		}
		n, err := readFull(r, c.b[:pieceSize])
		c.b, c.err = c.b[:n], err
		a.full <- c
		if err != nil {
			return
		}
	}
}

// readFull reads until b is full, and gives the reader's own error.
func readFull(r io.Reader, b []byte) (n int, err error) {
	for n < len(b) && err == nil {
		var m int
		m, err = r.Read(b[n:])
		n += m
	}
	return n, err
}

// Read gives what has been read ahead.
func (a *readAhead) Read(b []byte) (int, error) {
	for a.at == len(a.now.b) {
		if a.err != nil {
			return 0, a.err
		}
		if a.now.b != nil {
			a.free <- a.now
		}
		a.now, a.at = <-a.full, 0
		a.err = a.now.err
	}
	n := copy(b, a.now.b[a.at:])
	a.at += n
	return n, nil
}

// broken returns the error that the stream ended with, nil for its proper end.
func (a *readAhead) broken() error {
	if errors.Is(a.err, io.EOF) {
		return nil
	}
	return a.err
}

func (a *readAhead) close() { close(a.stop) }
