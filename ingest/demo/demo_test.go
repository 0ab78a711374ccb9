package demo_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"testing"

	"bloomtide/ingest/demo"

	"github.com/stretchr/testify/require"
)

// The embedded files must be what the documented generator makes, so that
// nobody mistakes them for anything measured.
func TestFilesAreWhatTheGeneratorMakes(t *testing.T) {
	for _, c := range demo.Counties() {
		t.Run(c.ID, func(t *testing.T) {
			var made bytes.Buffer
			require.NoError(t, demo.Generate(&made, c))
			_, zipped, err := demo.File(c.ID)
			require.NoError(t, err)
			z, err := gzip.NewReader(bytes.NewReader(zipped))
			require.NoError(t, err)
			kept, err := io.ReadAll(z)
			require.NoError(t, err)
			require.Equal(t, made.String(), string(kept), "run go generate in ingest/demo")
			require.Equal(t, 1+30*365+8+99, bytes.Count(kept, []byte("\n")), "30 years with 8 leap days, and 1 January to 9 April 2025")
		})
	}
}

func TestFileOfNoCounty(t *testing.T) {
	_, _, err := demo.File("nowhere")
	require.Error(t, err)
}
