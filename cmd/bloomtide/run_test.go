package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Ctrl-C ends a run that waits for standard input, with the code by which
// shells count it: 128 and SIGINT, 2 (POSIX.1-2017, shell command language,
// 2.8.2).
func TestInterruptEndsARunThatWaits(t *testing.T) {
	never, hold := io.Pipe()
	defer hold.Close()
	ctx, stop := context.WithCancel(context.Background())
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{"plan", "--weather", "-", "--lat", "48.2"}, world{
			stdin: never, stdout: io.Discard, stderr: io.Discard, now: scriptDay,
		})
	}()
	stop()
	select {
	case got := <-code:
		require.Equal(t, 128+int(syscall.SIGINT), got)
	case <-time.After(30 * time.Second):
		require.Fail(t, "the run goes on")
	}
}

// A reader that goes away, as head does, is no failure.
func TestClosedPipeIsDone(t *testing.T) {
	var errs bytes.Buffer
	code := run(context.Background(), []string{"plan"}, world{stdout: failing{syscall.EPIPE}, stderr: &errs, now: scriptDay})
	require.Equal(t, exitDone, code)
	require.Empty(t, errs.String())

	code = run(context.Background(), []string{"plan"}, world{stdout: failing{errors.New("disk full")}, stderr: &errs, now: scriptDay})
	require.Equal(t, exitFailed, code)
	require.Equal(t, "bloomtide: error: disk full\n", errs.String())
}

// failing is a writer that takes nothing.
type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, fmt.Errorf("%w", f.err) }

// A file that only its owner may read stays so.
func TestPermissionsStay(t *testing.T) {
	name := filepath.Join(t.TempDir(), "plan.txt")
	const private = fs.FileMode(0o600)
	require.NoError(t, os.WriteFile(name, nil, private))
	got := invoke(t, "plan", "--place", "sarn", "--output", name)
	require.Equal(t, outcome{}, got)
	info, err := os.Stat(name)
	require.NoError(t, err)
	require.Positive(t, info.Size())
	require.Equal(t, private, info.Mode())
}

// A plan that cannot be put in place leaves the old file and no other.
func TestFailedWriteLeavesTheOldFile(t *testing.T) {
	dir := t.TempDir()
	require.Error(t, writeFile(filepath.Join(dir, "a", "plan.txt"), []byte("new")))
	name := filepath.Join(dir, "plan.txt")
	require.NoError(t, writeFile(name, []byte("old")))
	require.NoError(t, writeFile(name, []byte("new")))
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, left, 1)
	require.Equal(t, "new", source(t, name))
}
