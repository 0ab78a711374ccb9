package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// shelf keeps the calendars as last published, in one folder.
type shelf struct{ folder string }

// mostCalendars bounds the folder; the oldest go first. Our own choice: more
// than one keeper subscribes to.
const mostCalendars = 300

// Read returns a file and when it was written, nothing for none.
func (s shelf) Read(name string) ([]byte, time.Time, error) {
	path, err := s.path(name)
	if err != nil {
		return nil, time.Time{}, err
	}
	b, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, time.Time{}, nil
	}
	if err != nil {
		return nil, time.Time{}, fmt.Errorf("read the calendar of last time: %w", err)
	}
	info, err := os.Stat(path)
	if err != nil {
		return nil, time.Time{}, fmt.Errorf("read the calendar of last time: %w", err)
	}
	return b, info.ModTime(), nil
}

// Write puts a file in place whole or not at all.
func (s shelf) Write(name string, content []byte) error {
	path, err := s.path(name)
	if err != nil {
		return err
	}
	if err := writeFile(path, content); err != nil {
		return err
	}
	return s.prune()
}

// path returns where a file stands: in the folder and nowhere else.
func (s shelf) path(name string) (string, error) {
	if !filepath.IsLocal(name) || filepath.Base(name) != name {
		return "", fmt.Errorf("no calendar can be called %q", name)
	}
	return filepath.Join(s.folder, name), nil
}

// prune removes the calendars that were written longest ago beyond the bound.
func (s shelf) prune() error {
	entries, err := os.ReadDir(s.folder)
	if err != nil || len(entries) <= mostCalendars {
		return err
	}
	written := func(e os.DirEntry) int64 {
		info, err := e.Info()
		if err != nil {
			return 0
		}
		return info.ModTime().UnixNano()
	}
	slices.SortFunc(entries, func(a, b os.DirEntry) int { return cmp.Compare(written(a), written(b)) })
	for _, e := range entries[:len(entries)-mostCalendars] {
		if err := os.Remove(filepath.Join(s.folder, e.Name())); err != nil {
			return fmt.Errorf("make room for a calendar: %w", err)
		}
	}
	return nil
}
