package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bloomtide/ingest/archive"
	"bloomtide/ingest/fetch"
)

// downloadFolder holds in the archive what was fetched, as it was published.
const downloadFolder = "download"

// downloads is the folder of fetched files. One program writes it at a time,
// so that a name for what is half written can be fixed and leaves no litter.
type downloads struct {
	root *os.Root
	lock *archive.Writer
}

// openDownloads makes the folder where needed and keeps other writers out.
func openDownloads(archiveDir string) (*downloads, error) {
	dir := filepath.Join(archiveDir, downloadFolder)
	a, err := archive.Open(dir)
	if err != nil {
		return nil, err
	}
	lock, err := a.Write()
	if errors.Is(err, archive.ErrLocked) {
		return nil, fmt.Errorf("another bloomtide is fetching into %s; wait until it is done", dir)
	}
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, errors.Join(err, lock.Close())
	}
	return &downloads{root, lock}, nil
}

func (d *downloads) close() error { return errors.Join(d.root.Close(), d.lock.Close()) }

// Open reads a file.
func (d *downloads) Open(name string) (io.ReadCloser, error) {
	return d.root.Open(filepath.FromSlash(name))
}

// Size returns the length of a plain file, octets.
func (d *downloads) Size(name string) (int64, error) {
	info, err := d.root.Stat(filepath.FromSlash(name))
	if err != nil {
		return 0, err
	}
	if !info.Mode().IsRegular() {
		return 0, fmt.Errorf("%s is not a plain file; move it away", name)
	}
	return info.Size(), nil
}

// Write puts a file in place, whole or not at all.
func (d *downloads) Write(name string, content io.Reader) error {
	dir, file := filepath.Split(filepath.FromSlash(name))
	half := dir + "." + strings.TrimPrefix(file, ".") + ".new"
	to, err := d.create(half, os.O_TRUNC)
	if err != nil {
		return err
	}
	_, err = io.Copy(to, content)
	if err = errors.Join(err, to.Sync(), to.Close()); err == nil {
		err = d.Rename(half, name)
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", name, errors.Join(err, d.Remove(half)))
	}
	return nil
}

// create opens a file for writing, and makes its folder.
func (d *downloads) create(name string, how int) (*os.File, error) {
	const folder, file = 0o755, 0o644
	if err := d.root.MkdirAll(filepath.Dir(filepath.FromSlash(name)), folder); err != nil {
		return nil, fmt.Errorf("make the download folder: %w", err)
	}
	return d.root.OpenFile(filepath.FromSlash(name), os.O_WRONLY|os.O_CREATE|how, file)
}

// Append opens a file to write behind its end, or from nothing.
func (d *downloads) Append(name string, afresh bool) (io.WriteCloser, error) {
	how := os.O_APPEND
	if afresh {
		how |= os.O_TRUNC
	}
	f, err := d.create(name, how)
	if err != nil {
		return nil, err
	}
	return synced{f}, nil
}

// synced is a file that is on the disk once it is closed.
type synced struct{ *os.File }

// Close makes the file durable and closes it.
func (s synced) Close() error { return errors.Join(s.Sync(), s.File.Close()) }

// Rename gives a file another name in one step.
func (d *downloads) Rename(from, to string) error {
	return d.root.Rename(filepath.FromSlash(from), filepath.FromSlash(to))
}

// Remove takes a file away.
func (d *downloads) Remove(name string) error {
	if err := d.root.Remove(filepath.FromSlash(name)); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// fetchedRecords returns the folder of fetched records in an archive, "" where
// nothing was fetched.
func fetchedRecords(archiveDir string) string {
	if archiveDir == "" {
		return ""
	}
	dir := filepath.Join(archiveDir, downloadFolder, filepath.FromSlash(fetch.RecordsFolder))
	if !hasFiles(dir) {
		return ""
	}
	return dir
}

// hasFiles reports whether a folder has plain files that are not hidden.
func hasFiles(dir string) bool {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return false
	}
	for _, e := range entries {
		if e.Type().IsRegular() && !strings.HasPrefix(e.Name(), ".") {
			return true
		}
	}
	return false
}

// wallClock is the time of this machine.
type wallClock struct{ now func() time.Time }

// Now returns the present moment.
func (c wallClock) Now() time.Time { return c.now() }

// Sleep waits, or until the context ends.
func (wallClock) Sleep(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}

// AfterFunc calls f later.
func (wallClock) AfterFunc(d time.Duration, f func()) func() {
	t := time.AfterFunc(d, f)
	return func() { t.Stop() }
}
