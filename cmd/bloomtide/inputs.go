package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/forecast"
	"bloomtide/ingest"
	"bloomtide/ingest/archive"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// inputs are weather files, each opened when its turn has come.
type inputs struct {
	sources []ingest.Source
	paths   []string // of the files among them
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
	paths, err := expandAll(names)
	if err != nil {
		return nil, err
	}
	return w.inputsOf(w.withPartners(paths)), nil
}

// inputsOf makes inputs of files, and of "-" for standard input.
func (w world) inputsOf(paths []string) *inputs {
	in := &inputs{}
	for _, p := range paths {
		if p == "-" {
			in.sources = append(in.sources, ingest.Source{Name: "standard input", Reader: w.stdin})
			continue
		}
		in.add(p)
	}
	return in
}

func (in *inputs) add(path string) {
	in.paths = append(in.paths, path)
	in.sources = append(in.sources, ingest.Source{Name: path, Open: func() (io.Reader, error) {
		f, err := os.Open(path)
		if err != nil {
			var why *fs.PathError
			if errors.As(err, &why) {
				err = why.Err
			}
			return nil, &format.FileError{File: path, What: "the file cannot be opened", Err: err, Mend: "check its name and who may read it"}
		}
		return f, nil
	}})
}

// decodeParquet reads a file of the archive's own layout; other Parquet files
// are refused.
func decodeParquet(name string, content []byte) (weather.Series, error) {
	s, err := archive.Decode(name, content)
	if err == nil {
		return s, nil
	}
	e := &format.FileError{File: name, What: "this Parquet file is damaged", Err: errors.Unwrap(err), Mend: "copy it again, or ingest its station anew"}
	if !archive.Own(content) {
		e.What, e.Err = "this Parquet file is not of the archive's layout", nil
		e.Mend = "export it as CSV, with a date, a minimum and a maximum a line"
	}
	return s, e
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

// isFolder reports whether a name leads to a folder.
func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// filesIn lists the plain files of a folder, and links to such, in the order of
// their names; hidden ones are left out.
func filesIn(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("read weather folder: %w", err)
	}
	var out []string
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		if !strings.HasPrefix(e.Name(), ".") && (e.Type().IsRegular() || e.Type()&fs.ModeSymlink != 0 && !isFolder(path)) {
			out = append(out, path)
		}
	}
	if len(out) == 0 {
		return nil, &usageError{errors.New("no files in the weather folder " + dir), "name a folder that holds daily temperature files"}
	}
	return out, nil
}
