package main

import (
	"context"
	"errors"
	"io"
	"syscall"
	"time"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/ingest"
	"bloomtide/phenology"
)

// world is all that the program knows of its surroundings. Tests give it
// another one.
type world struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	environ        []string // KEY=value
	now            func() time.Time
}

// Exit codes. Nothing else is ever returned.
const (
	exitDone        = 0
	exitFailed      = 1   // the work could not be done
	exitUsage       = 2   // the command line or the configuration is wrong
	exitPoorData    = 3   // the data are too poor for an answer
	exitInterrupted = 130 // stopped from the keyboard, as shells count it
)

// run is the whole program: it returns the exit code and never ends the
// process itself.
func run(ctx context.Context, args []string, w world) int {
	root := newRoot(w, args)
	root.SetArgs(args)
	root.SetIn(w.stdin)
	root.SetOut(w.stdout)
	root.SetErr(w.stderr)
	result := make(chan error, 1)
	go func() { result <- root.ExecuteContext(ctx) }() // beside, since a read of standard input cannot be called off
	var err error
	select {
	case <-ctx.Done():
		return exitInterrupted
	case err = <-result:
	}
	if err == nil || errors.Is(err, syscall.EPIPE) {
		return exitDone
	}
	say{w.stderr}.failure(err)
	return exitCode(err)
}

// usageError is a mistake on the command line.
type usageError struct {
	err  error
	hint string
}

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

// exitCode sorts errors into the exit codes.
func exitCode(err error) int {
	var (
		usage    *usageError
		settings *config.UsageError
		poor     *ingest.PoorDataError
		few      *forecast.FewYearsError
		gap      *phenology.GapError
	)
	switch {
	case errors.As(err, &usage), errors.As(err, &settings):
		return exitUsage
	case errors.As(err, &poor), errors.As(err, &few), errors.As(err, &gap):
		return exitPoorData
	default:
		return exitFailed
	}
}
