package format

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/bzip2"
	"compress/gzip"
	"errors"
	"fmt"
	"io"

	"github.com/klauspost/compress/zstd"
)

// Limits of unpacking, our choices. Records of days pack to a tenth and rarely
// to a fiftieth; what swells two hundredfold and far is made to fill a memory
// or a day. The window is the largest that the zstd tool itself unpacks
// without being told to (zstd 1.5, --memory=128MB, from memory).
const (
	bombSize   = 1 << 30   // bytes
	bombRatio  = 200       // bytes out for a byte in
	zstdWindow = 128 << 20 // bytes
)

var (
	errBomb   = errors.New("it unpacks to more than two hundred times its size")
	errPacked = errors.New("wrong bytes")
)

// Beginnings of zstd files: a frame, and the last three bytes of one that is to
// be skipped, as parallel packers write (RFC 8878, 3.1).
const (
	zstdMagic = "\x28\xb5\x2f\xfd"
	zstdSkip  = "\x2a\x4d\x18"
)

// unpack puts the unpacker that the first bytes ask for between the file and
// its lines. closed frees its memory.
func (f *File) unpack(br *bufio.Reader, magic []byte) (out *bufio.Reader, closed func(), err error) {
	in := &meter{r: br}
	nothing := func() {}
	switch {
	case bytes.HasPrefix(magic, []byte{0x1f, 0x8b}):
		z, err := gzip.NewReader(in)
		if err != nil {
			return nil, nothing, err
		}
		return buffered(f.limited(z, in.count)), nothing, nil
	case bytes.HasPrefix(magic, []byte("BZh")):
		return buffered(f.limited(bzip2.NewReader(in), in.count)), nothing, nil
	case bytes.HasPrefix(magic, []byte(zstdMagic)), len(magic) == 4 && string(magic[1:]) == zstdSkip && magic[0]>>4 == 5:
		z, err := zstd.NewReader(in, zstd.WithDecoderConcurrency(1), zstd.WithDecoderLowmem(true), zstd.WithDecoderMaxWindow(zstdWindow))
		if err != nil {
			return nil, nothing, in.blame(err)
		}
		return buffered(f.limited(blamed{z, in}, in.count)), z.Close, nil
	}
	return br, nothing, nil
}

// member opens a member of a zip.
func (f *File) member(m *zip.File) (io.ReadCloser, error) {
	rc, err := m.Open()
	if err != nil {
		return nil, err
	}
	return struct {
		io.Reader
		io.Closer
	}{f.limited(rc, func() int64 { return int64(m.CompressedSize64) }), rc}, nil
}

// meter counts the bytes that an unpacker takes and remembers what stopped
// their source.
type meter struct {
	r   *bufio.Reader
	n   int64
	err error
}

func (m *meter) Read(p []byte) (int, error) {
	n, err := m.r.Read(p)
	m.n += int64(n)
	m.note(err)
	return n, err
}

// ReadByte keeps the unpackers of the standard library from a buffer of their
// own.
func (m *meter) ReadByte() (byte, error) {
	b, err := m.r.ReadByte()
	if err == nil {
		m.n++
	}
	m.note(err)
	return b, err
}

func (m *meter) note(err error) {
	if err != nil && !errors.Is(err, io.EOF) {
		m.err = err
	}
}

func (m *meter) count() int64 { return m.n }

// blame marks an error of an unpacker as damage, unless the source failed, the
// file ended or the unpacker's own limits were met.
func (m *meter) blame(err error) error {
	switch {
	case err == nil, errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), m.err != nil,
		errors.Is(err, zstd.ErrWindowSizeExceeded), errors.Is(err, zstd.ErrDecoderSizeExceeded):
		return err
	}
	return fmt.Errorf("%w: %w", errPacked, err)
}

// blamed blames the errors of a reader.
type blamed struct {
	r  io.Reader
	in *meter
}

func (b blamed) Read(p []byte) (int, error) {
	n, err := b.r.Read(p)
	return n, b.in.blame(err)
}

// limited bounds what an unpacker gives by what it takes.
func (f *File) limited(r io.Reader, taken func() int64) io.Reader {
	most := f.options.MostUnpacked
	if most <= 0 {
		most = bombSize
	}
	return &bounded{r: r, taken: taken, most: most}
}

type bounded struct {
	r     io.Reader
	taken func() int64
	n     int64
	most  int64
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.n > b.most && b.n > bombRatio*b.taken() {
		return 0, errBomb
	}
	n, err := b.r.Read(p)
	b.n += int64(n)
	return n, err
}
