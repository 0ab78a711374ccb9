package archive

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// fewFiles are confirmed one by one rather than with all that the file system
// has to write, which may be that of other programs; our choice.
const fewFiles = 32

// durable makes the bytes of files in a folder durable: many by one call for
// the whole file system, which reports failed writes from Linux 5.8 on (man 2
// syncfs).
func durable(dir string, paths []string) error {
	if len(paths) < fewFiles {
		return durableEach(paths)
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	err = unix.Syncfs(int(d.Fd()))
	if errors.Is(err, unix.ENOSYS) {
		err = durableEach(paths)
	}
	return errors.Join(err, d.Close())
}
