package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPartnerOf finds the file with the other extreme, unpacked or as BOM hands
// it out, and rather of the same years. Names of files from memory.
func TestPartnerOf(t *testing.T) {
	for _, c := range []struct {
		given, want string
		beside      []string
	}{
		{"IDCJAC0010_099999_1800.zip", "IDCJAC0011_099999_1800.zip", []string{"IDCJAC0009_099999_1800.zip", "IDCJAC0011_099999_1800.zip", "IDCJAC0011_099998_1800.zip"}},
		{"IDCJAC0011_099999_2019_Data.csv", "IDCJAC0010_099999_2019_Data.csv", []string{"IDCJAC0010_099999_2018_Data.csv", "IDCJAC0010_099999_2019_Data.csv"}},
		{"IDCJAC0011_099999_2019_Data.csv", "IDCJAC0010_099999_1800_Data.csv", []string{"IDCJAC0010_099999_1800_Data.csv"}},
		{"IDCJAC0010_099999_1800.zip", "", []string{"IDCJAC0011_099998_1800.zip"}},
		{"TX_STAID000999.txt", "TN_STAID000999.txt", []string{"TN_STAID000998.txt", "TN_STAID000999.txt"}},
	} {
		dir := t.TempDir()
		for _, name := range append(c.beside, c.given) {
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), nil, 0o600))
		}
		want := c.want
		if want != "" {
			want = filepath.Join(dir, want)
		}
		require.Equal(t, want, partnerOf(filepath.Join(dir, c.given)), c.given)
	}
}
