package format

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"sync"

	"github.com/klauspost/compress/gzip"
)

// ReadByYear reads a by-year file of GHCN-Daily, as it is or packed by gzip. ok
// is false where the file is none or is beyond what this reader takes: then
// nothing of it counts, and Open has to read it from its start. The error is a
// *FileError.
func ReadByYear(in LargeSource) (l *Large, ok bool, err error) {
	if ra, size, ok := anywhere(in.Reader); ok {
		head := make([]byte, headOfYear)
		n, err := ra.ReadAt(head, 0)
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, false, (&File{name: in.Name}).broken(0, err)
		}
		if startsByYear(head[:n]) {
			return byYearShares(in, ra, size)
		}
		if !bytes.HasPrefix(head[:n], gzipMagic[:]) {
			return nil, false, nil
		}
	}
	return byYearStream(in)
}

// gzipMagic begins a gzip file (RFC 1952).
var gzipMagic = [2]byte{0x1f, 0x8b}

// headOfYear is how much is looked at to recognise a by-year file, bytes.
const headOfYear = 4096

// byYearShares reads a file in as many shares as there are workers.
func byYearShares(in LargeSource, ra io.ReaderAt, size int64) (*Large, bool, error) {
	workers := max(1, in.Workers)
	cuts, err := boundaries(ra, size, workers)
	if err != nil {
		return nil, false, (&File{name: in.Name}).broken(0, err)
	}
	tables := make([]*yearTable, workers)
	errs := make([]error, workers)
	var wg sync.WaitGroup
	for i := range tables {
		tables[i] = newYearTable(&in)
		share := io.NewSectionReader(ra, cuts[i], cuts[i+1]-cuts[i])
		wg.Go(func() { errs[i] = tables[i].read(share, in.Progress) })
	}
	wg.Wait()
	return joined(tables, errs, in.Name)
}

// byYearStream reads a file that comes through gzip, unpacking it beside the
// reading.
func byYearStream(in LargeSource) (*Large, bool, error) {
	br := bufio.NewReaderSize(&counted{in.Reader, in.Progress}, pieceSize)
	magic, _ := br.Peek(2)
	if !bytes.Equal(magic, gzipMagic[:]) {
		return nil, false, nil
	}
	z, err := gzip.NewReader(br)
	if err != nil {
		return nil, false, nil // Open words it
	}
	unpacked := newReadAhead(z)
	defer unpacked.close()
	head := bufio.NewReaderSize(unpacked, headOfYear)
	first, _ := head.Peek(headOfYear)
	if !startsByYear(first) {
		return nil, false, nil
	}
	t := newYearTable(&in)
	err = t.read(struct {
		io.Reader
		breaks
	}{head, unpacked}, nil)
	return joined([]*yearTable{t}, []error{err}, in.Name)
}

// breaks is a stream that may break off.
type breaks interface{ broken() error }

// counted tells of the bytes read.
type counted struct {
	r        io.Reader
	progress func(int64)
}

// Read reads and tells.
func (c *counted) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	if c.progress != nil {
		c.progress(int64(n))
	}
	return n, err
}

// joined makes one answer of the parts of a file.
func joined(tables []*yearTable, errs []error, name string) (*Large, bool, error) {
	for _, err := range errs {
		if errors.Is(err, errNotLarge) {
			return nil, false, nil
		}
	}
	l := &Large{Layout: byYearName}
	for i, t := range tables {
		l.add(&t.Large, l.Lines)
		if errs[i] != nil {
			return nil, false, (&File{name: name}).broken(l.Lines, errs[i])
		}
	}
	s, ok := joinStations(tables)
	if !ok {
		return nil, false, nil
	}
	l.Stations, l.each = s.met, s.each
	return l, true, nil
}

// startsByYear looks at the first line that is no header.
func startsByYear(head []byte) bool {
	what, _ := notText(head)
	if what != "" || bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(head, '\r') >= 0 {
		return false
	}
	for _, line := range cutLines(head, false) {
		if len(line) == 0 || bytes.HasPrefix(line, []byte("ID,")) {
			continue
		}
		return isByYear(line)
	}
	return false
}
