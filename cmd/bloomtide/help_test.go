package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"
)

// source reads a file of the repository.
func source(t *testing.T, elem ...string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(elem...))
	require.NoError(t, err)
	return string(b)
}

// Every command tells in its help what it is for, with an example that it
// understands, on lines that a screen of 80 columns holds.
func TestEveryCommandHasAnExample(t *testing.T) {
	root := newRoot(world{stdout: io.Discard, stderr: io.Discard, now: time.Now}, nil)
	root.InitDefaultHelpCmd()
	commands := root.Commands()
	require.Greater(t, len(commands), 15)
	for _, c := range commands {
		t.Run(c.Name(), func(t *testing.T) {
			require.NotEmpty(t, c.Short)
			require.NotEmpty(t, c.Long)
			require.Contains(t, c.Example, "  bloomtide ")
			for _, line := range strings.Split(c.Long+"\n"+c.Example, "\n") {
				require.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
			}
			for _, line := range examples(c.Example) {
				understood(t, root, line)
			}
		})
	}
}

// examples are the lines of an example that start this program, those broken by
// a backslash made whole.
func examples(text string) []string {
	var out []string
	for _, line := range strings.Split(strings.ReplaceAll(text, "\\\n", " "), "\n") {
		if line = strings.TrimSpace(line); strings.HasPrefix(line, "bloomtide ") {
			out = append(out, line)
		}
	}
	return out
}

// understood wants the command and every option of an example to exist.
func understood(t *testing.T, root *cobra.Command, line string) {
	words := strings.Fields(line)[1:]
	c, _, err := root.Find(words)
	require.NoError(t, err, line)
	require.NotEqual(t, root, c, line)
	c.InitDefaultHelpFlag()
	for _, w := range words {
		if name, isOption := strings.CutPrefix(w, "--"); isOption {
			name, _, _ = strings.Cut(name, "=")
			require.NotNil(t, c.Flags().Lookup(name), "%s: --%s", line, name)
		}
	}
}
