package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The README's pictures are there, small, and told in words to who cannot see
// them (WCAG 2.2, 1.1.1); none lies about unused.
func TestPicturesOfTheReadme(t *testing.T) {
	const largest = 150_000 // octets, so that the README loads on a weak line
	root := filepath.Join("..", "..")
	used := map[string]bool{}
	for _, m := range regexp.MustCompile(`<img src="([^"]+)"[^>]* alt="([^"]*)">`).FindAllStringSubmatch(source(t, root, "README.md"), -1) {
		info, err := os.Stat(filepath.Join(root, filepath.FromSlash(m[1])))
		require.NoError(t, err)
		require.Less(t, info.Size(), int64(largest), m[1])
		require.Greater(t, len(strings.Fields(m[2])), 5, m[1])
		used[filepath.Base(m[1])] = true
	}
	require.NotEmpty(t, used)
	all, err := os.ReadDir(filepath.Join(root, "testdata", "pictures"))
	require.NoError(t, err)
	require.Len(t, used, len(all))
}
