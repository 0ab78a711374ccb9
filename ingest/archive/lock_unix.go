//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package archive

import (
	"errors"
	"os"
	"syscall"
)

// lock takes an advisory lock that ends with the process, killed or not.
func lock(f *os.File) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return ErrLocked
	}
	return err
}

// syncDir makes the names in a folder durable.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
