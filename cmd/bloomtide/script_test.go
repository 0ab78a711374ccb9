package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"bloomtide/forecast/ical"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// TestMain lets the scripts call this test binary by the name bloomtide.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"bloomtide": func() {
		os.Exit(run(context.Background(), os.Args[1:], world{
			stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr, environ: os.Environ(), now: scriptDay,
		}))
	}})
}

// scriptDay is the day that a script has set with env TODAY=.
func scriptDay() time.Time {
	day, err := time.Parse(time.DateOnly, os.Getenv("TODAY"))
	if err != nil {
		return time.Date(2025, time.April, 10, 12, 0, 0, 0, time.UTC)
	}
	return day.Add(12 * time.Hour)
}

func TestScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("whole commands one after the other: left out of the short run, which looks for races")
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup:               weatherFiles,
		Condition: func(what string) (bool, error) {
			if what != "shared" {
				return false, fmt.Errorf("unknown condition %q", what)
			}
			_, err := os.Stat(filepath.Join("..", "..", "..", "shared"))
			return err == nil, nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "narrow": narrow, "unescaped": unescaped, "calendars": calendars, "relaid": relaid,
		},
	})
}

// weatherFiles gives every script an invented record: plain, gzipped, cut in
// two, and in °F under names of its own.
func weatherFiles(e *testscript.Env) error {
	plain, packed, err := inventedRecord()
	if err != nil {
		return err
	}
	for name, path := range map[string]string{ // for what wants measured weather
		"MEASURED": filepath.Join("..", "..", "testdata", "seattle-weather.csv"), "SHARED": filepath.Join("..", "..", "..", "shared"),
	} {
		if path, err = filepath.Abs(path); err != nil {
			return err
		}
		e.Setenv(name, path)
	}
	lines := strings.SplitAfter(plain, "\n")
	half := len(lines) / 2
	for name, content := range map[string]string{
		"station.csv":          plain,
		"station.csv.gz":       packed,
		"cut.csv.gz":           packed[:len(packed)/2],
		"year.csv":             byYear(plain),
		"cut/station-1995.csv": strings.Join(lines[:half], ""),
		"cut/station-2010.csv": lines[0] + strings.Join(lines[half:], ""),
		"own.csv":              rewritten(plain, "Day;Low;High", func(d day) string { return fmt.Sprintf("%s;%.1f;%.1f", d.date, d.min*9/5+32, d.max*9/5+32) }),
	} {
		to := filepath.Join(e.WorkDir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(to, []byte(content), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// byYear writes the record in GHCN-Daily's by-year layout, °C in tenths.
func byYear(plain string) string {
	var b strings.Builder
	rewritten(plain, "", func(d day) string {
		compact := strings.ReplaceAll(d.date, "-", "")
		fmt.Fprintf(&b, "QZ000000001,%s,TMAX,%.0f,,,7,\nQZ000000001,%s,TMIN,%.0f,,,7,\n", compact, 10*d.max, compact, 10*d.min)
		return ""
	})
	return b.String()
}

// exits runs a command and wants its exit code: exits 2 bloomtide plan --lta.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit code %d, not %d", got, want)
	}
}

// narrow wants no line of a file to be longer than so many characters:
// narrow 80 stdout.
func narrow(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: narrow CHARACTERS FILE")
	}
	most, err := strconv.Atoi(args[0])
	ts.Check(err)
	for i, line := range strings.Split(ts.ReadFile(args[1]), "\n") {
		if n := utf8.RuneCountInString(line); n > most {
			ts.Fatalf("line %d has %d characters: %s", i+1, n, line)
		}
	}
}

// unescaped wants no control character but the line feed: unescaped stdout.
func unescaped(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: unescaped FILE")
	}
	if at := strings.IndexFunc(ts.ReadFile(args[0]), control); at >= 0 {
		ts.Fatalf("control character at octet %d", at)
	}
}

func control(r rune) bool { return r < ' ' && r != '\n' || r >= 0x7f && r < 0xa0 }

// calendars compares an updated calendar with the one before: every event of
// the earlier one is in the later one, no SEQUENCE is lower, it is higher
// where an event changed and the same where it did not, and some changed.
func calendars(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: calendars BEFORE AFTER")
	}
	var read [2]ical.Published
	for i, name := range args {
		var err error
		read[i], err = ical.ReadPublished(strings.NewReader(ts.ReadFile(name)))
		ts.Check(err)
	}
	changed := 0
	for uid, old := range read[0] {
		now, ok := read[1][uid]
		switch {
		case !ok:
			ts.Fatalf("%s is gone without being cancelled", uid)
		case now.Digest == old.Digest && now.Sequence != old.Sequence:
			ts.Fatalf("%s has not changed, but its SEQUENCE has", uid)
		case now.Digest != old.Digest && (now.Sequence <= old.Sequence || now.Modified <= old.Modified):
			ts.Fatalf("%s has changed, but its SEQUENCE went from %d to %d", uid, old.Sequence, now.Sequence)
		case now.Digest != old.Digest && !now.Cancelled:
			changed++
		}
	}
	if changed == 0 {
		ts.Fatalf("no event has changed")
	}
}

// outcome is what a run inside the test left behind.
type outcome struct {
	code           int
	stdout, stderr string
}

// invoke runs the program inside the test, in the working folder.
func invoke(t testing.TB, args ...string) outcome {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(context.Background(), args, world{
		stdin: strings.NewReader(""), stdout: &out, stderr: &errs, now: scriptDay,
	})
	return outcome{code, out.String(), errs.String()}
}

// The checks of the scripts must be able to fail.
func TestScriptCommandsCanFail(t *testing.T) {
	for _, bad := range []string{"a\x1b[31mb", "a\tb", "a\rb", "a\u009bb"} {
		require.GreaterOrEqual(t, strings.IndexFunc(bad, control), 0, "%q", bad)
	}
	require.Negative(t, strings.IndexFunc("12 °C – 3 days\n", control))
}
