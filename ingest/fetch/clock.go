package fetch

import (
	"context"
	"io"
	"time"
)

// Clock is the time as the caller has it, so that tests need not wait.
type Clock interface {
	// Now returns the present moment.
	Now() time.Time

	// Sleep waits for d, or returns the context's error when that ends first.
	Sleep(ctx context.Context, d time.Duration) error

	// AfterFunc calls f in a goroutine of its own once d has passed, unless
	// stop is called before.
	AfterFunc(d time.Duration, f func()) (stop func())
}

// Store keeps files under slash-separated names without "..". A name that is
// not there gives an error that is fs.ErrNotExist.
type Store interface {
	// Open reads a file.
	Open(name string) (io.ReadCloser, error)

	// Size returns the length of a file, octets.
	Size(name string) (int64, error)

	// Write puts a file in place, whole or not at all.
	Write(name string, content io.Reader) error

	// Append opens a file to write behind its end, or from nothing. What was
	// written is on the disk once Close has returned.
	Append(name string, afresh bool) (io.WriteCloser, error)

	// Rename gives a file another name in one step, in place of a file there.
	Rename(from, to string) error

	// Remove takes a file away; one that is not there is no error.
	Remove(name string) error
}

// Progress tells how far a download is.
type Progress struct {
	Name  string        // of the file in the store
	Done  int64         // octets that are there
	Total int64         // octets in all, -1 where the server does not tell
	Wait  time.Duration // above zero: the pause before the next try
}
