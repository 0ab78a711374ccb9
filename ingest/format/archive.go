package format

import (
	"archive/zip"
	"bufio"
	"bytes"
	"errors"
	"io"
	"path"
	"strings"
)

// largestZip is how much of a zip that comes through a pipe is held in memory,
// bytes: its directory stands at its end.
const largestZip = 256 << 20

// openZip lists the members of a zip and recognises the first that holds
// readings.
func (f *File) openZip(r io.Reader, br *bufio.Reader) error {
	z, err := f.directory(r, br)
	if err != nil {
		return err
	}
	if sheet(z) {
		return &FileError{File: f.name, What: "this is an office spreadsheet", Mend: "save it as CSV and give that file"}
	}
	for _, m := range z.File {
		if readable(m.Name) {
			f.rest = append(f.rest, part{f.name + ":" + m.Name, func() (io.ReadCloser, error) { return f.member(m) }})
		}
	}
	var first error
	for len(f.rest) > 0 && f.layout == "" {
		s, err := f.openPart()
		if err != nil {
			if first == nil {
				first = err
			}
			continue
		}
		f.queue = append(f.queue, s)
		if s.data {
			f.layout = s.layout
		}
	}
	if f.layout != "" {
		return nil
	}
	if first == nil {
		first = &FileError{File: f.name, What: "the zip holds no text", Mend: "give a zip with a daily record in it"}
	}
	return first
}

func (f *File) directory(r io.Reader, br *bufio.Reader) (*zip.Reader, error) {
	var z *zip.Reader
	var err error
	if ra, size, ok := randomAccess(r); ok {
		z, err = zip.NewReader(ra, size)
	} else {
		var all []byte
		all, err = io.ReadAll(io.LimitReader(br, largestZip+1))
		if err != nil {
			return nil, f.broken(0, err)
		}
		if len(all) > largestZip {
			return nil, &FileError{File: f.name, What: "the zip is above 256 MiB", Mend: "unpack it and give the files"}
		}
		z, err = zip.NewReader(bytes.NewReader(all), int64(len(all)))
	}
	if err != nil {
		return nil, &FileError{File: f.name, What: "the zip is damaged or cut off", Mend: "fetch or copy it again", Err: err}
	}
	return z, nil
}

// randomAccess finds the size of a reader that can be read from anywhere,
// provided that it was given at its start.
func randomAccess(r io.Reader) (ra io.ReaderAt, size int64, ok bool) {
	ra, okAt := r.(io.ReaderAt)
	s, okSeek := r.(io.Seeker)
	if !okAt || !okSeek {
		return nil, 0, false
	}
	size, err := s.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, 0, false
	}
	var magic [2]byte
	if _, err := ra.ReadAt(magic[:], 0); err != nil || string(magic[:]) != "PK" {
		return nil, 0, false
	}
	return ra, size, true
}

func sheet(z *zip.Reader) bool {
	for _, m := range z.File {
		if strings.HasPrefix(m.Name, "xl/") || m.Name == "content.xml" {
			return true
		}
	}
	return false
}

// readable leaves out members that are descriptions.
func readable(name string) bool {
	if strings.HasSuffix(name, "/") || strings.HasPrefix(name, "__MACOSX/") {
		return false
	}
	base := path.Base(name)
	if strings.HasPrefix(base, "Metadaten_") { // of DWD's members only this one is used
		return strings.HasPrefix(base, "Metadaten_Geographie") && strings.HasSuffix(base, ".txt")
	}
	switch strings.ToLower(path.Ext(base)) {
	case ".csv", ".txt", ".dly", ".dat", ".tsv", "":
		return true
	}
	return false
}

// explains reports whether a member is a text about the others, BOM's or
// anybody's, of which nobody expects readings.
func explains(name string) bool {
	low := strings.ToLower(name[strings.LastIndexAny(name, "/:")+1:])
	return strings.HasSuffix(low, "_note.txt") || strings.HasPrefix(low, "readme")
}

// openPart recognises the next member.
func (f *File) openPart() (*stream, error) {
	p := f.rest[0]
	f.rest = f.rest[1:]
	rc, err := p.open()
	if err != nil {
		return nil, &FileError{File: p.name, What: "the member cannot be unpacked", Mend: "fetch the zip again", Err: err}
	}
	s, err := f.recognise(p.name, buffered(rc))
	if err != nil {
		return nil, errors.Join(err, rc.Close())
	}
	s.close = rc.Close
	return s, nil
}

// nextStream returns the next text to read, nil after the last. A member that
// is not recognised is noted and left out, one that is damaged ends it.
func (f *File) nextStream() (*stream, error) {
	if len(f.queue) > 0 {
		s := f.queue[0]
		f.queue = f.queue[1:]
		return s, nil
	}
	for len(f.rest) > 0 {
		quiet := explains(f.rest[0].name)
		s, err := f.openPart()
		if err == nil {
			return s, nil
		}
		if quiet {
			continue
		}
		f.note("left out: %v", err)
	}
	return nil, nil
}
