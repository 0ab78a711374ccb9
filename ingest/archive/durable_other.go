//go:build !linux

package archive

import (
	"errors"
	"os"
)

// durable makes the bytes of files in a folder durable.
func durable(_ string, paths []string) error { return durableEach(paths) }

// rename gives a file its name in place of what stands there.
func rename(from, to string) error { return os.Rename(from, to) }

// create writes a file that is not there yet.
func create(path string, content []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, fileMode)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err := errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}
