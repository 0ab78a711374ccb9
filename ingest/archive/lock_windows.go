package archive

import (
	"errors"
	"os"
	"syscall"
	"unsafe"
)

// lock takes a lock on the first byte of a file; it ends with the process.
func lock(f *os.File) error {
	const exclusiveAtOnce = 0x1 | 0x2 // LOCKFILE_FAIL_IMMEDIATELY, LOCKFILE_EXCLUSIVE_LOCK
	const violation = syscall.Errno(33)
	var at syscall.Overlapped
	call := syscall.NewLazyDLL("kernel32.dll").NewProc("LockFileEx")
	ok, _, err := call.Call(f.Fd(), exclusiveAtOnce, 0, 1, 0, uintptr(unsafe.Pointer(&at)))
	if ok != 0 {
		return nil
	}
	if errors.Is(err, violation) {
		return ErrLocked
	}
	return err
}

// syncDir does nothing: Windows keeps names durable by itself, as far as it
// lets a program ask.
func syncDir(string) error { return nil }
