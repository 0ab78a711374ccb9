package format

import (
	"bufio"
	"bytes"
	"errors"
	"io"
)

// headSize is how much of a file is looked at before the first line is read,
// and the longest line, bytes. It holds more than a decade of any daily layout
// read here.
const headSize = 512 << 10

// deepSize is how far a file is looked into where its first part holds too few
// temperatures to tell their unit, bytes.
const deepSize = 8 << 20

// smallFile is what fits a first look, bytes: most files of one station-year do,
// and are then read without the large buffer.
const smallFile = 64 << 10

// buffered wraps a reader so that headSize of it can be looked at, or all of it
// if it is small.
func buffered(r io.Reader) *bufio.Reader {
	small := bufio.NewReaderSize(r, smallFile)
	if b, _ := small.Peek(smallFile); len(b) < smallFile { // an error comes again at the next reading
		return small
	}
	return bufio.NewReaderSize(small, headSize)
}

// lines gives the lines of a text without their ends: LF, CRLF, or CR alone.
type lines struct {
	r    *bufio.Reader
	end  byte // the byte that ends a line
	n    int  // number of the line last returned
	torn bool // the line last returned had no end
}

func newLines(r *bufio.Reader, head []byte) *lines {
	l := &lines{r: r, end: '\n'}
	if bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(head, '\r') >= 0 {
		l.end = '\r'
	}
	return l
}

// errLong tells that a line is longer than headSize; reading may go on.
var errLong = errors.New("line longer than 512 KiB")

// next returns the next line, which stays valid until the next call. At the
// end it returns io.EOF, or whatever stopped the reader.
func (l *lines) next() ([]byte, error) {
	b, err := l.r.ReadSlice(l.end)
	if len(b) == 0 && err != nil {
		return nil, err
	}
	l.n++
	l.torn = false
	if len(b) > headSize && (err == nil || errors.Is(err, io.EOF)) {
		return nil, errLong
	}
	if err == nil {
		b = b[:len(b)-1]
		for len(b) > 0 && b[len(b)-1] == '\r' { // two where a CRLF was written as a text
			b = b[:len(b)-1]
		}
		return b, nil
	}
	if errors.Is(err, bufio.ErrBufferFull) {
		return nil, l.skip()
	}
	l.torn = true
	if errors.Is(err, io.EOF) {
		return bytes.TrimRight(b, "\r"), nil
	}
	return nil, err // the part of a line before a broken end is not trusted
}

// skip reads to the end of an overlong line.
func (l *lines) skip() error {
	for {
		_, err := l.r.ReadSlice(l.end)
		if err == nil || errors.Is(err, io.EOF) {
			return errLong
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return err
		}
	}
}

// cutLines returns the lines of a head, copied so that they may be changed.
// A last line that the head cuts is left out unless whole is true.
func cutLines(head []byte, whole bool) [][]byte {
	head = bytes.Clone(head)
	end := byte('\n')
	if bytes.IndexByte(head, '\n') < 0 {
		end = '\r'
	}
	out := bytes.Split(head, []byte{end})
	if !whole && len(out) > 1 {
		out = out[:len(out)-1]
	}
	for i, b := range out {
		out[i] = bytes.TrimRight(b, "\r")
	}
	return out
}
