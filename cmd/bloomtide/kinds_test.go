package main

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"bloomtide/forecast/hive"

	"github.com/stretchr/testify/require"
)

// The README's table names every kind of task, once, in the order of the year
// as the code has it.
func TestReadmeNamesEveryKind(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	require.NoError(t, err)
	_, rest, found := strings.Cut(source(t, root, "README.md"), "\n# The work it plans\n")
	table, _, _ := strings.Cut(rest, "\n# ")
	require.True(t, found)
	var named []hive.Kind
	for _, m := range regexp.MustCompile("(?m)^\\| `([a-z-]+)` \\|").FindAllStringSubmatch(table, -1) {
		named = append(named, hive.Kind(m[1]))
	}
	require.Equal(t, hive.Kinds(), named)
}
