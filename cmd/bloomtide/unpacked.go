package main

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
)

// largestUnpacked bounds what an uploaded file may hold once it is unpacked,
// octets. Our own choice: four times the largest file that is taken, which a
// packed record of all stations of a country stays below.
const largestUnpacked = 256 << 20

// checkUnpacked refuses a file that grows beyond most octets when it is
// unpacked, before anything reads it. What is damaged is left for the reader to
// name.
func checkUnpacked(name string, content []byte, most int64) error {
	left := most
	switch {
	case bytes.HasPrefix(content, []byte{0x1f, 0x8b}): // gzip, RFC 1952
		z, err := gzip.NewReader(bytes.NewReader(content))
		if err != nil {
			return nil
		}
		left -= unpacked(z, left)
	case bytes.HasPrefix(content, []byte("PK")): // zip
		z, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
		if err != nil {
			return nil
		}
		for _, m := range z.File {
			if r, err := m.Open(); err == nil && left >= 0 {
				left -= unpacked(r, left)
				_ = r.Close() // what was read is thrown away
			}
		}
	}
	if left < 0 {
		return fmt.Errorf("%s: holds more than %d MB once it is unpacked; leave out years or stations, or give it on the command line", name, most>>20)
	}
	return nil
}

// unpacked counts octets up to one more than the bound.
func unpacked(r io.Reader, most int64) int64 {
	n, _ := io.Copy(io.Discard, io.LimitReader(r, most+1)) // a damaged rest holds nothing
	return n
}
