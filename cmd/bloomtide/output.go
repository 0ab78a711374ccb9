package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/forecast/ical"
	"bloomtide/forecast/report"

	"golang.org/x/term"
)

// writeFile puts a file in place whole or not at all: a kill at any moment
// leaves the old one or the new one. Links and permissions stay as they are.
func writeFile(name string, content []byte) error {
	mode := fs.FileMode(0o644)
	if target, err := filepath.EvalSymlinks(name); err == nil {
		name = target
	}
	if info, err := os.Stat(name); err == nil {
		if info.IsDir() {
			return &usageError{fmt.Errorf("write %s: it is a folder", name), "name a file in it"}
		}
		mode = info.Mode().Perm()
	}
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	_, err = f.Write(content)
	err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", name, errors.Join(err, os.Remove(f.Name())))
	}
	return nil
}

// deliver writes to the named file, whole or not at all, or to standard output
// where none is named.
func (w world) deliver(name string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	if name != "" {
		return writeFile(name, b.Bytes())
	}
	_, err := w.stdout.Write(b.Bytes())
	return err
}

// published reads the calendar that a file holds from last time; none is an
// empty one.
func published(name string) (ical.Published, error) {
	if name == "" {
		return nil, nil
	}
	f, err := os.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read the calendar of last time: %w", err)
	}
	defer f.Close()
	p, err := ical.ReadPublished(f)
	if err != nil {
		return nil, fmt.Errorf("read the calendar of last time, %s: %w; move it away to start anew", name, err)
	}
	return p, nil
}

// terminal says how wide and how plain the reader's screen is.
func (w world) terminal(u report.Units) report.Options {
	o := report.Options{Units: u}
	f, ok := w.stdout.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return o
	}
	if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 0 {
		const widest = 100 // characters; longer lines are hard to read
		o.Width = min(width, widest)
	}
	o.Bold = w.env("NO_COLOR") == "" && w.env("TERM") != "dumb"
	return o
}

// env returns an environment variable, "" for none.
func (w world) env(key string) string {
	for _, kv := range w.environ {
		if v, ok := strings.CutPrefix(kv, key+"="); ok {
			return v
		}
	}
	return ""
}
