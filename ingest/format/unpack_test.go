package format

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"
	"github.com/stretchr/testify/require"
)

// zstdPiece is the piece of DWD's record as the zstd tool of Debian packs it,
// and as it is.
func zstdPiece(t testing.TB) (packed, plain []byte) {
	t.Helper()
	dir := filepath.Join("..", "..", "testdata", "format")
	packed, err := os.ReadFile(filepath.Join(dir, "zstd", "00433-historical.txt.zst"))
	require.NoError(t, err)
	plain, err = os.ReadFile(filepath.Join(dir, "dwd-kl", "00433-historical.txt"))
	require.NoError(t, err)
	return packed, plain
}

// TestZstd reads what the zstd tool has packed as it reads the text itself,
// also of several frames and behind a frame that is to be skipped (RFC 8878).
func TestZstd(t *testing.T) {
	packed, plain := zstdPiece(t)
	_, want, faults := readings(t, "a.txt", plain, Options{})
	require.Empty(t, faults)
	require.Greater(t, len(want), 50)
	skipped := append([]byte("\x53\x2a\x4d\x18\x03\x00\x00\x00abc"), packed...)
	for name, b := range map[string][]byte{"a.txt.zst": packed, "skipped": skipped} {
		f, got, faults := readings(t, name, b, Options{})
		require.Empty(t, faults)
		require.Equal(t, "DWD daily KL", f.Layout())
		require.Equal(t, want, got)
	}
	_, got, faults := readings(t, "frames", append(bytes.Clone(packed), packed...), Options{})
	require.Empty(t, faults)
	require.Equal(t, 2*len(want), len(got), "a second frame goes on where the first ended")
}

func TestZstdDamage(t *testing.T) {
	packed, _ := zstdPiece(t)
	wide := []byte(zstdMagic + "\x00\xb0\x01\x00\x00") // a window of 4 GiB: exponent 22 (RFC 8878, 3.1.1.1.2)
	for _, c := range []struct {
		name string
		b    []byte
		says string
	}{
		{"cut", packed[:len(packed)/2], "the compressed file ends too early: unexpected EOF; fetch or copy it again"},
		{"head alone", packed[:4], "the compressed file ends too early"},
		{"flipped", []byte(flipped(string(packed), 40)), "the compressed file is damaged"},
		{"wrong checksum", []byte(flipped(string(packed), len(packed)-1)), "the compressed file is damaged"},
		{"wide window", wide, "more than 128 MiB of memory: window size exceeded; pack it again"},
		{"within gzip", []byte(zipped(string(packed))), "a zstd file in another archive"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Open(bytes.NewReader(c.b), Options{Name: "f"})
			if err == nil {
				for _, err = range f.Readings() {
				}
			}
			var e *FileError
			require.ErrorAs(t, err, &e)
			require.ErrorContains(t, err, c.says)
			require.True(t, strings.HasPrefix(err.Error(), "f:"), err)
		})
	}
}

// TestBombs unpacks a text that swells a thousandfold: it ends at the limit,
// whatever packed it, and a text as wide as a record is read to its end.
func TestBombs(t *testing.T) {
	const size, most = 1 << 20, 128 << 10
	text := plainHead + strings.Repeat("\n", size)
	var gz, zs bytes.Buffer
	g := gzip.NewWriter(&gz)
	z, err := zstd.NewWriter(&zs)
	require.NoError(t, err)
	for _, w := range []io.WriteCloser{g, z} {
		_, err := io.WriteString(w, text)
		require.NoError(t, err)
		require.NoError(t, w.Close())
	}
	for name, b := range map[string]string{"gzip": gz.String(), "zstd": zs.String(), "zip": zipOf(map[string]string{"a.csv": text})} {
		require.Less(t, len(b), size/bombRatio, name)
		f, err := Open(strings.NewReader(b), Options{Name: "f", MostUnpacked: most})
		require.NoError(t, err)
		for _, err = range f.Readings() {
		}
		require.ErrorIs(t, err, errBomb, name)
		require.ErrorContains(t, err, "unpack it and look at it")
		f, err = Open(strings.NewReader(b), Options{Name: "f"})
		require.NoError(t, err)
		for _, err = range f.Readings() {
			require.NoError(t, err)
		}
	}
}
