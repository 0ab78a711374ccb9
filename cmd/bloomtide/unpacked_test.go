package main

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bloomtide/forecast/web"

	"github.com/stretchr/testify/require"
)

// A small file that unpacks to a large one is refused before it is read; a
// plain one, one at the bound and a damaged one go on to the reader.
func TestFilesThatGrow(t *testing.T) {
	const most = 1 << 20
	gz := func(n int) []byte {
		var b bytes.Buffer
		z := gzip.NewWriter(&b)
		_, err := z.Write(make([]byte, n))
		require.NoError(t, err)
		require.NoError(t, z.Close())
		return b.Bytes()
	}
	zipped := func(sizes ...int) []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for i, n := range sizes {
			w, err := z.Create(strconv.Itoa(i) + ".csv")
			require.NoError(t, err)
			_, err = w.Write(make([]byte, n))
			require.NoError(t, err)
		}
		require.NoError(t, z.Close())
		return b.Bytes()
	}
	for name, c := range map[string]struct {
		content []byte
		grows   bool
	}{
		"plain":                   {make([]byte, most+1), false},
		"nothing":                 {nil, false},
		"gzip at the bound":       {gz(most), false},
		"gzip beyond it":          {gz(most + 1), true},
		"gzip, many times":        {gz(40 * most), true},
		"gzip, torn":              {gz(most)[:40], false},
		"zip at the bound":        {zipped(most/2, most/2), false},
		"zip beyond it, together": {zipped(most/2, most/2, 1), true},
		"zip beyond it, by one":   {zipped(8 * most), true},
		"zip, torn":               {zipped(most)[:40], false},
	} {
		t.Run(name, func(t *testing.T) {
			err := checkUnpacked("w", c.content, most)
			if !c.grows {
				require.NoError(t, err)
				return
			}
			require.ErrorContains(t, err, "more than 1 MB once it is unpacked")
		})
	}
}

// Uploads cannot fill the disk: there is a bound, and who is refused leaves
// nothing behind.
func TestBoundOfUploads(t *testing.T) {
	h := demoHouse(t, t.TempDir())
	for i := range mostUploads {
		require.NoError(t, os.WriteFile(filepath.Join(h.data, "weather", strconv.Itoa(i)+besideUpload), []byte("{}"), 0o600))
	}
	plain, _, err := inventedRecord()
	require.NoError(t, err)
	_, _, err = h.accept(web.Upload{FileName: "w.csv", Content: strings.NewReader(plain), Place: "x", Point: &web.Point{Lat: 47.6}})
	require.ErrorContains(t, err, "weather files are kept already")
	left, err := filepath.Glob(filepath.Join(h.data, "weather", "*"))
	require.NoError(t, err)
	require.Len(t, left, mostUploads)
	_, _, err = h.accept(web.Upload{FileName: "w.csv", Content: io.MultiReader(strings.NewReader("a"), goneAway{}), Place: "x"})
	require.ErrorIs(t, err, io.ErrUnexpectedEOF)
}

// goneAway is a client that goes away in the middle of a file.
type goneAway struct{}

func (goneAway) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }
