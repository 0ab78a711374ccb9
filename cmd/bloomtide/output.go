package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/config"
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
	f, ok := w.screen()
	if !ok {
		return o
	}
	if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 0 {
		const widest = 100 // characters; longer lines are hard to read
		o.Width = min(width, widest)
	}
	o.Bold = w.env("NO_COLOR") == "" && w.env("TERM") != "dumb"
	o.Chart = w.unicode() && w.env("TERM") != "dumb"
	return o
}

// screen returns standard output where it is a terminal.
func (w world) screen() (*os.File, bool) {
	f, ok := w.stdout.(*os.File)
	return f, ok && term.IsTerminal(int(f.Fd()))
}

// unicode reports whether the locale is one of UTF-8: the first of its three
// variables that is set decides (POSIX.1-2017, Base Definitions, 8.2).
func (w world) unicode() bool {
	locale := strings.ToLower(cmp.Or(w.env("LC_ALL"), w.env("LC_CTYPE"), w.env("LANG")))
	return strings.HasSuffix(locale, "utf-8") || strings.HasSuffix(locale, "utf8")
}

// Values of --chart.
const (
	chartAuto   = "auto"
	chartAlways = "always"
	chartNever  = "never"
)

// look says how what a command prints is to look: as the screen allows, or
// plain in a file.
func (w world) look(u report.Units, o planOptions) (report.Options, error) {
	look := w.terminal(u)
	if o.output != "" {
		look = report.Options{Units: u}
	}
	switch o.chart {
	case "", chartAuto:
	case chartAlways:
		look.Chart = true
	case chartNever:
		look.Chart = false
	default:
		return look, &usageError{fmt.Errorf("--chart: unknown value %q", o.chart), "use --chart auto, always or never; compare draws an SVG file with --svg FILE"}
	}
	return look, nil
}

// printed is one result in each of its forms.
type printed struct {
	what      string // as in "a comparison"
	table     func(io.Writer, report.Options) error
	csv, json func(io.Writer) error
}

// printAs writes a result in the form that the settings ask for.
func (w world) printAs(s config.Settings, o planOptions, p printed) error {
	units, err := report.ParseUnits(s.Units)
	if err != nil {
		return &usageError{err, ""}
	}
	look, err := w.look(units, o)
	if err != nil {
		return err
	}
	switch s.Format {
	case "table":
		return w.deliver(o.output, func(to io.Writer) error { return p.table(to, look) })
	case "csv":
		return w.deliver(o.output, p.csv)
	case "json":
		return w.deliver(o.output, p.json)
	}
	return &usageError{fmt.Errorf("%s has no format %q", p.what, s.Format), "use --format table, csv or json"}
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
