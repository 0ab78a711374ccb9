//go:build !linux

package archive

import (
	"errors"
	"os"
)

// looseFiles makes files that get their place later.
type looseFiles struct{}

// create writes a file that is to be put in place; named is a name that it may
// take until then. It returns the path at which it can be read.
func (*looseFiles) create(named string, content []byte) (path string, err error) {
	f, err := os.OpenFile(named, os.O_WRONLY|os.O_CREATE|os.O_EXCL, fileMode)
	if err != nil {
		return "", err
	}
	_, err = f.Write(content)
	if err := errors.Join(err, f.Close()); err != nil {
		return "", errors.Join(err, os.Remove(named))
	}
	return named, nil
}

// place gives a file its name, in place of what stands there.
func (*looseFiles) place(path, name string) error { return os.Rename(path, name) }

// drop removes a file that is not to be put in place.
func (*looseFiles) drop(path string) error { return os.Remove(path) }

// release lets go of a file that has been put in place.
func (*looseFiles) release(string) error { return nil }
