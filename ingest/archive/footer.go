package archive

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/parquet-go/parquet-go/format"
)

// tailSize is what is read of a file to find its footer, bytes. Footers here
// have some 2 kB; one with many sources is read in a second step.
const tailSize = 8 << 10

// largestFooter bounds a footer, bytes: thousands of sources fit.
const largestFooter = 16 << 20

// head reads the summary of a file without its days; size is that of the file.
func head(name string, r io.ReaderAt, size int64) (s Summary, err error) {
	defer func() {
		if r := recover(); r != nil {
			s, err = Summary{}, &DamageError{File: name, What: fmt.Sprint("its footer cannot be decoded: ", r)}
		}
	}()
	tail, err := footer(r, size)
	if err != nil {
		return s, &DamageError{File: name, What: "its footer cannot be read", Err: err}
	}
	var m format.FileMetaData
	if err := unmarshal(tail, &m); err != nil {
		return s, &DamageError{File: name, What: "its footer cannot be decoded", Err: err}
	}
	s, err = summary(keyValues(&m))
	if err != nil {
		return Summary{}, &DamageError{File: name, What: "its footer is wrong", Err: err}
	}
	return s, nil
}

// parseFooter reads the metadata of a file in memory.
func parseFooter(file []byte) (*format.FileMetaData, error) {
	tail, err := footer(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, err
	}
	m := new(format.FileMetaData)
	if err := unmarshal(tail, m); err != nil {
		return nil, fmt.Errorf("the footer: %w", err)
	}
	return m, nil
}

// footer returns the metadata at the end of a file.
func footer(r io.ReaderAt, size int64) ([]byte, error) {
	const ends = 8 // length and magic, bytes
	if size < ends+int64(len(magic)) {
		return nil, io.ErrUnexpectedEOF
	}
	tail := make([]byte, min(size, tailSize))
	if _, err := r.ReadAt(tail, size-int64(len(tail))); err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	if string(tail[len(tail)-len(magic):]) != magic {
		return nil, errors.New("it does not end as Parquet does")
	}
	length := int64(binary.LittleEndian.Uint32(tail[len(tail)-ends:]))
	if length > size-ends || length > largestFooter {
		return nil, fmt.Errorf("its footer is said to have %d bytes", length)
	}
	if need := length + ends; need > int64(len(tail)) {
		tail = make([]byte, need)
		if _, err := r.ReadAt(tail, size-need); err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
	}
	return tail[int64(len(tail))-ends-length : len(tail)-ends], nil
}

// Own reports whether a Parquet file, whole or damaged, is of the archive's
// layout: one that names the station where this program does.
func Own(file []byte) bool {
	return bytes.Contains(file, []byte(keyStation)) && bytes.Contains(file, []byte(sumKey))
}
