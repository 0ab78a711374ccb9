package archive

import (
	"errors"
	"fmt"
)

// ErrNoStation says that the archive does not hold a station.
var ErrNoStation = errors.New("the archive does not hold this station")

// ErrLocked says that another process is writing the archive.
var ErrLocked = errors.New("another process is writing this archive; wait until it has ended")

// DamageError says that a file of the archive is not what was written.
type DamageError struct {
	File string // path of the file
	What string // what does not fit
	Err  error  // the cause, may be nil
}

// Error names the file, what does not fit, and the mend.
func (e *DamageError) Error() string {
	what := e.What
	if e.Err != nil {
		what += ": " + e.Err.Error()
	}
	return fmt.Sprintf("%s: the file is damaged: %s; delete it and ingest its station again", e.File, what)
}

// Unwrap returns the cause.
func (e *DamageError) Unwrap() error { return e.Err }
