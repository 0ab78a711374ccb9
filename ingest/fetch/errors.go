package fetch

import (
	"errors"
	"fmt"
	"time"
)

// Error tells why a file could not be fetched.
type Error struct {
	Address string        // what was asked for
	Status  int           // HTTP status, 0 where there was none
	What    string        // what is wrong
	Mend    string        // what to do about it, may be empty
	After   time.Duration // the server asks to wait so long; 0 where it does not
	Err     error         // the cause, may be nil

	again  bool // another try may go better
	afresh bool // what came so far is of no use
	silent bool // the host did not answer at all
}

// Error returns address: what; mend.
func (e *Error) Error() string {
	s := fmt.Sprintf("%s: %s", e.Address, e.What)
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	if e.Mend != "" {
		s += "; " + e.Mend
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Offline reports whether err says that a host did not answer at all, as where
// there is no network.
func Offline(err error) bool {
	var e *Error
	return errors.As(err, &e) && e.silent
}

// AddressError tells that an address may not be asked, by our own rules.
type AddressError struct {
	Address string // as given, or as a redirect or the name service led to
	What    string
	Mend    string
}

// Error returns address: what; mend.
func (e *AddressError) Error() string {
	s := e.Address + ": " + e.What
	if e.Mend != "" {
		s += "; " + e.Mend
	}
	return s
}
