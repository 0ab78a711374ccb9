package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// shown is a command of the README with the output that stands below it.
type shown struct {
	line    int
	command string
	output  []string
}

// commandsIn returns the commands of every fenced block whose first line
// begins with "$ bloomtide ". A block may hold several.
func commandsIn(text string) []shown {
	var out []shown
	fenced, ours := false, false
	for i, l := range strings.Split(text, "\n") {
		l = strings.TrimRight(l, " \r")
		if strings.HasPrefix(strings.TrimSpace(l), "```") {
			fenced, ours = !fenced, false
			if fenced {
				next := strings.Split(text, "\n")
				ours = i+1 < len(next) && strings.HasPrefix(next[i+1], "$ bloomtide ")
			}
			continue
		}
		switch command, ok := strings.CutPrefix(l, "$ "); {
		case !fenced || !ours:
		case ok:
			out = append(out, shown{line: i + 1, command: command})
		default:
			last := &out[len(out)-1]
			last.output = append(last.output, l)
		}
	}
	return out
}

// words splits a command as a shell does, with single and double quotes; it
// knows nothing else of shells and refuses their special characters.
func words(command string) ([]string, error) {
	var out []string
	var word strings.Builder
	quote, begun := rune(0), false
	for _, r := range command {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote != 0:
			word.WriteRune(r)
		case r == '\'' || r == '"':
			quote, begun = r, true
		case r == ' ':
			if begun {
				out = append(out, word.String())
				word.Reset()
				begun = false
			}
		case strings.ContainsRune("|<>&;$`\\*?(){}", r):
			return nil, fmt.Errorf("%q needs a shell: %s", r, command)
		default:
			word.WriteRune(r)
			begun = true
		}
	}
	if quote != 0 {
		return nil, fmt.Errorf("open quote: %s", command)
	}
	if begun {
		out = append(out, word.String())
	}
	return out, nil
}

// matches compares an output with what is shown. A line "..." stands for any
// number of lines, also none.
func matches(want, got []string) bool {
	if len(want) == 0 {
		return len(got) == 0
	}
	if want[0] != "..." {
		return len(got) > 0 && want[0] == strings.TrimRight(got[0], " ") && matches(want[1:], got[1:])
	}
	for n := range len(got) + 1 {
		if matches(want[1:], got[n:]) {
			return true
		}
	}
	return false
}

// lines splits a text and drops empty lines at its end.
func lines(text string) []string {
	text = strings.TrimRight(text, "\n")
	if text == "" {
		return nil
	}
	return strings.Split(text, "\n")
}

// TestReadmeCommandsRun runs the commands of the README and compares what they
// print, errors included, with what stands there. They run in an empty folder
// that has the repository's testdata, so that what they write stays out of the
// repository.
func TestReadmeCommandsRun(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	require.NoError(t, err)
	all := commandsIn(source(t, root, "README.md"))
	require.NotEmpty(t, all, "README.md has no fenced block that begins with $ bloomtide")
	t.Chdir(t.TempDir())
	require.NoError(t, os.Symlink(filepath.Join(root, "testdata"), "testdata"))
	for _, c := range all {
		args, err := words(c.command)
		require.NoError(t, err, "README.md:%d", c.line)
		require.Equal(t, "bloomtide", args[0], "README.md:%d: only bloomtide can be run here", c.line)
		var screen bytes.Buffer
		run(context.Background(), args[1:], world{stdin: strings.NewReader(""), stdout: &screen, stderr: &screen, now: scriptDay})
		want, got := lines(strings.Join(c.output, "\n")), lines(screen.String())
		require.True(t, matches(want, got), "README.md:%d: $ %s\nprints\n%s", c.line, c.command, screen.String())
	}
}

func TestReadmeCommandsAreFound(t *testing.T) {
	text := "a\n```sh\ngo build\n```\n```console\n$ bloomtide plan --place \"A b\"\none  \n...\n$ bloomtide bloom\n```\n$ bloomtide no\n```\n$ go test\n```\n"
	require.Equal(t, []shown{
		{6, `bloomtide plan --place "A b"`, []string{"one", "..."}},
		{9, "bloomtide bloom", nil},
	}, commandsIn(text))
	got, err := words(`bloomtide plan --place "A b" --lat '' -x`)
	require.NoError(t, err)
	require.Equal(t, []string{"bloomtide", "plan", "--place", "A b", "--lat", "", "-x"}, got)
	for _, bad := range []string{"bloomtide plan | head", "bloomtide 'plan", "bloomtide > x"} {
		_, err := words(bad)
		require.Error(t, err, bad)
	}
}

func TestReadmeOutputIsCompared(t *testing.T) {
	for _, c := range []struct {
		want, got string
		ok        bool
	}{
		{"a\nb", "a\nb", true},
		{"a\nb", "a\nc", false},
		{"a", "a\nb", false},
		{"a\nb", "a", false},
		{"a\n...", "a", true},
		{"a\n...\nd", "a\nb\nc\nd", true},
		{"a\n...\nd", "a\nb\nc", false},
		{"...\nb\n...\nd", "a\nb\nb\nd", true},
		{"", "", true},
		{"", "a", false},
		{"...", "", true},
	} {
		require.Equal(t, c.ok, matches(lines(c.want), lines(c.got)), "%q and %q", c.want, c.got)
	}
}
