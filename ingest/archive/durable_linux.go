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

// rename is os.Rename without a look at what stands there, which is a file or
// nothing: with thousands of files that look is a tenth of the time.
func rename(from, to string) error {
	if err := unix.Rename(from, to); err != nil {
		return &os.LinkError{Op: "rename", Old: from, New: to, Err: err}
	}
	return nil
}

// create writes a file that is not there yet. It does without package os, which
// asks the kernel of every file whether it may be waited for, a tenth of the time
// of thousands of small ones.
func create(path string, content []byte) error {
	fd, err := unix.Open(path, unix.O_WRONLY|unix.O_CREAT|unix.O_EXCL|unix.O_CLOEXEC, fileMode)
	if err != nil {
		return &os.PathError{Op: "open", Path: path, Err: err}
	}
	for len(content) > 0 && err == nil {
		var n int
		n, err = unix.Write(fd, content)
		if errors.Is(err, unix.EINTR) {
			n, err = 0, nil
		}
		content = content[max(n, 0):]
	}
	if err := errors.Join(err, unix.Close(fd)); err != nil {
		return &os.PathError{Op: "write", Path: path, Err: errors.Join(err, os.Remove(path))}
	}
	return nil
}
