package format

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// damages are what happens to files on their way.
var damages = []struct {
	name string
	do   func(b []byte, r *rand.Rand) []byte
}{
	{"cut", func(b []byte, r *rand.Rand) []byte { return b[:r.IntN(len(b))] }},
	{"beheaded", func(b []byte, r *rand.Rand) []byte { return b[r.IntN(len(b)):] }},
	{"flipped byte", func(b []byte, r *rand.Rand) []byte { b[r.IntN(len(b))] ^= byte(1 + r.IntN(255)); return b }},
	{"NULs", func(b []byte, r *rand.Rand) []byte { i := r.IntN(len(b)); clear(b[i:min(len(b), i+5)]); return b }},
	{"lost part", func(b []byte, r *rand.Rand) []byte {
		i := r.IntN(len(b))
		return append(b[:i], b[min(len(b), i+1+r.IntN(200)):]...)
	}},
	{"doubled part", func(b []byte, r *rand.Rand) []byte {
		i := r.IntN(len(b))
		j := min(len(b), i+1+r.IntN(200))
		return append(bytes.Clone(b[:j]), b[i:]...)
	}},
	{"swapped bytes", func(b []byte, r *rand.Rand) []byte {
		i, j := r.IntN(len(b)), r.IntN(len(b))
		b[i], b[j] = b[j], b[i]
		return b
	}},
	{"other delimiter", func(b []byte, r *rand.Rand) []byte {
		i := r.IntN(len(b))
		return append(b[:i:i], bytes.ReplaceAll(b[i:], []byte(","), []byte(";"))...)
	}},
	{"no line ends", func(b []byte, _ *rand.Rand) []byte { return bytes.ReplaceAll(b, []byte("\n"), nil) }},
	{"quotes gone", func(b []byte, _ *rand.Rand) []byte { return bytes.ReplaceAll(b, []byte(`"`), nil) }},
	{"huge field", func(b []byte, r *rand.Rand) []byte {
		i := r.IntN(len(b))
		return append(append(bytes.Clone(b[:i]), bytes.Repeat([]byte("7"), 2000)...), b[i:]...)
	}},
	{"letters for digits", func(b []byte, _ *rand.Rand) []byte { return bytes.ReplaceAll(b, []byte("0"), []byte("O")) }},
	{"dates moved", func(b []byte, _ *rand.Rand) []byte { return bytes.ReplaceAll(b, []byte("01"), []byte("99")) }},
}

// TestMutations damages every piece of a real file in every way, several times:
// each result gives a located error with a mend, or a reading of what is left
// in which no value is impossible.
func TestMutations(t *testing.T) {
	names, err := filepath.Glob(filepath.Join("..", "..", "testdata", "format", "*", "*"))
	require.NoError(t, err)
	require.NotEmpty(t, names)
	const times = 4
	files, refused, partial := 0, 0, 0
	for _, name := range names {
		whole, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, d := range damages {
			for i := range times {
				r := rand.New(rand.NewPCG(uint64(files), uint64(i)))
				b := d.do(bytes.Clone(whole), r)
				files++
				f, err := Open(bytes.NewReader(b), Options{Name: "f"})
				if err != nil {
					var e *FileError
					require.ErrorAs(t, err, &e, d.name)
					require.True(t, strings.HasPrefix(err.Error(), "f"), err)
					require.NotEmpty(t, e.Mend, "%s of %s: %v", d.name, name, err)
					refused++
					continue
				}
				partial += follow(t, f)
			}
		}
	}
	t.Logf("%d damaged files: %d refused at once, %d read with bad lines counted, the rest read in part", files, refused, partial)
	require.GreaterOrEqual(t, files, 900)
	require.GreaterOrEqual(t, refused+partial, 200)
}

// follow reads a damaged file to its end; 1 if some lines were bad.
func follow(t *testing.T, f *File) (bad int) {
	t.Helper()
	for r, err := range f.Readings() {
		if err == nil {
			require.True(t, Possible(r.Element, r.Value) || !r.Flags.Usable())
			continue
		}
		bad = 1
		var end *FileError // a packed file that breaks off
		if errors.As(err, &end) {
			require.Positive(t, end.Line)
			require.NotEmpty(t, end.Mend, err)
			continue
		}
		var e *weather.SyntaxError
		require.True(t, errors.As(err, &e), err)
		require.Positive(t, e.Line)
		require.NotEmpty(t, e.What)
		require.NotEmpty(t, e.Mend, err)
	}
	return bad
}
