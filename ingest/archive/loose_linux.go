package archive

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"

	"golang.org/x/sys/unix"
)

// looseFiles makes files that get their place later. Where the file system can
// do it they have no name until then (man 2 open, O_TMPFILE): a name costs as much
// as all else of a small file, and what has none is gone when a writer is killed.
// It does without package os, which asks the kernel of every file whether it may
// be waited for.
type looseFiles struct {
	most, open atomic.Int64 // files without a name: at most, and now; most is 0 before the first
}

// openPaths is where a process finds its open files (man 5 proc).
const openPaths = "/proc/self/fd/"

// share is the part of the files that a process may have open that may be
// without a name: our choice, most is left to all else.
const share = 4

// create writes a file that is to be put in place; named is a name that it may
// take until then. It returns the path at which it can be read.
func (l *looseFiles) create(named string, content []byte) (path string, err error) {
	if fd, ok := l.nameless(filepath.Dir(named)); ok {
		path = openPaths + strconv.Itoa(fd)
		if err := fill(fd, content); err != nil {
			return "", errors.Join(&os.PathError{Op: "write", Path: named, Err: err}, l.drop(path))
		}
		return path, nil
	}
	fd, err := unix.Open(named, unix.O_WRONLY|unix.O_CREAT|unix.O_EXCL|unix.O_CLOEXEC, fileMode)
	if err != nil {
		return "", &os.PathError{Op: "open", Path: named, Err: err}
	}
	if err := errors.Join(fill(fd, content), unix.Close(fd)); err != nil {
		return "", errors.Join(&os.PathError{Op: "write", Path: named, Err: err}, l.drop(named))
	}
	return named, nil
}

// nameless opens a file without a name; false where there cannot be one.
func (l *looseFiles) nameless(dir string) (fd int, ok bool) {
	if l.most.Load() == 0 {
		l.most.Store(mostNameless())
	}
	if l.open.Add(1) > l.most.Load() {
		l.open.Add(-1)
		return 0, false
	}
	fd, err := unix.Open(dir, unix.O_WRONLY|unix.O_TMPFILE|unix.O_CLOEXEC, fileMode)
	if err != nil {
		l.open.Add(-1)
		l.most.Store(-1) // none here, or no more of them
	}
	return fd, err == nil
}

// mostNameless is how many files may be without a name at a time: none, as −1,
// where open files have no path by which to name them.
func mostNameless() int64 {
	var limit unix.Rlimit
	if _, err := os.Stat(openPaths); err != nil || unix.Getrlimit(unix.RLIMIT_NOFILE, &limit) != nil {
		return -1
	}
	return int64(min(limit.Cur/share, mostStaged+mostWaiting))
}

// fill writes all of a file.
func fill(fd int, content []byte) error {
	for len(content) > 0 {
		n, err := unix.Write(fd, content)
		if err != nil && !errors.Is(err, unix.EINTR) {
			return err
		}
		content = content[max(n, 0):]
	}
	return nil
}

// place gives a file its name, in place of what stands there, which is a file or
// nothing.
func (l *looseFiles) place(path, name string) error {
	number, nameless := strings.CutPrefix(path, openPaths)
	if !nameless {
		return renamed(path, name)
	}
	err := unix.Linkat(unix.AT_FDCWD, path, unix.AT_FDCWD, name, unix.AT_SYMLINK_FOLLOW)
	if errors.Is(err, unix.EEXIST) { // a link takes the place of nothing, a new name does
		named := filepath.Join(filepath.Dir(name), tempPrefix+"fd"+number)
		if err = unix.Linkat(unix.AT_FDCWD, path, unix.AT_FDCWD, named, unix.AT_SYMLINK_FOLLOW); err == nil {
			err = renamed(named, name)
		}
	}
	if err != nil {
		return &os.LinkError{Op: "link", Old: path, New: name, Err: err}
	}
	return nil
}

// renamed is os.Rename without a look at what stands there.
func renamed(from, to string) error {
	if err := unix.Rename(from, to); err != nil {
		return &os.LinkError{Op: "rename", Old: from, New: to, Err: err}
	}
	return nil
}

// drop removes a file that is not to be put in place.
func (l *looseFiles) drop(path string) error {
	if !strings.HasPrefix(path, openPaths) {
		return os.Remove(path)
	}
	return l.release(path)
}

// release lets go of a file that has been put in place. Its path may be that of
// another afterwards.
func (l *looseFiles) release(path string) error {
	number, nameless := strings.CutPrefix(path, openPaths)
	if !nameless {
		return nil
	}
	fd, err := strconv.Atoi(number)
	if err != nil {
		return err
	}
	l.open.Add(-1)
	return unix.Close(fd)
}
