package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/forecast"
	"bloomtide/ingest"
)

// inputs are open weather files.
type inputs struct {
	sources []ingest.Source
	files   []*os.File
}

func (in *inputs) close() {
	for _, f := range in.files {
		f.Close()
	}
}

// naming puts the weather file before an error that knows only its station.
func naming(names []string, err error) error {
	var poor *ingest.PoorDataError
	var few *forecast.FewYearsError
	if !errors.As(err, &poor) && !errors.As(err, &few) || len(names) != 1 || strings.Contains(err.Error(), names[0]) {
		return err
	}
	return fmt.Errorf("%s: %w", names[0], err)
}

// openInputs opens every weather file that the names stand for: a file, a
// folder, a pattern with * or ?, or "-" for standard input.
func (w world) openInputs(names []string) (*inputs, error) {
	in := &inputs{}
	for _, name := range names {
		if name == "-" {
			in.sources = append(in.sources, ingest.Source{Name: "standard input", Reader: w.stdin})
			continue
		}
		paths, err := expand(name)
		if err != nil {
			in.close()
			return nil, err
		}
		for _, p := range paths {
			if err := in.open(p); err != nil {
				in.close()
				return nil, err
			}
		}
	}
	return in, nil
}

func (in *inputs) open(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("read weather: %w", err)
	}
	in.files = append(in.files, f)
	in.sources = append(in.sources, ingest.Source{Name: path, Reader: io.Reader(f)})
	return nil
}

// expand returns the files that a name stands for, at least one.
func expand(name string) ([]string, error) {
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return filesIn(name)
	case err == nil:
		return []string{name}, nil
	case !strings.ContainsAny(name, "*?["):
		return nil, &usageError{fmt.Errorf("no weather file %s", name), "name a file, a folder, a pattern such as 'data/*.csv', or - for standard input"}
	}
	paths, err := filepath.Glob(name)
	if err != nil {
		return nil, &usageError{fmt.Errorf("pattern %s: %w", name, err), "in a pattern * stands for any letters, ? for one and [ab] for a or b"}
	}
	if len(paths) == 0 {
		return nil, &usageError{fmt.Errorf("no file matches %s", name), "list the folder and correct the pattern, or name the files one by one"}
	}
	return paths, nil
}

// filesIn lists the plain files of a folder in the order of their names;
// hidden ones are left out.
func filesIn(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("read weather folder: %w", err)
	}
	var out []string
	for _, e := range entries {
		if e.Type().IsRegular() && !strings.HasPrefix(e.Name(), ".") {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	if len(out) == 0 {
		return nil, &usageError{errors.New("no files in the weather folder " + dir), "name a folder that holds daily temperature files"}
	}
	return out, nil
}
