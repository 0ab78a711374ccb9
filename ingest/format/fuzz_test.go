package format

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// check reads whatever it is given and holds what this package promises: no
// panic, every reading possible or flagged, an I/O error last.
func check(t *testing.T, b []byte, o Options) {
	f, err := Open(bytes.NewReader(b), o)
	if err != nil {
		var e *FileError
		require.ErrorAs(t, err, &e)
		return
	}
	var last error
	for r, err := range f.Readings() {
		if last != nil {
			require.NoError(t, last, "nothing follows the last item")
		}
		if _, bad := err.(*weather.SyntaxError); err != nil {
			if !bad {
				last = err
			}
			continue
		}
		y := r.Date.Year()
		if good := (Possible(r.Element, r.Value) || !r.Flags.Usable()) && y >= Oldest && y <= Newest; !good {
			require.True(t, good, "%+v", r) // asked a thousand times a file it would take most of the time
		}
	}
}

// seed adds the pieces of real files in some folders of testdata.
func seed(f *testing.F, folders ...string) {
	for _, folder := range folders {
		names, err := filepath.Glob(filepath.Join("..", "..", "testdata", "format", folder, "*"))
		require.NoError(f, err)
		for _, name := range names {
			b, err := os.ReadFile(name)
			require.NoError(f, err)
			f.Add(b)
		}
	}
}

// FuzzAny reads anything as a whole file: recognition and every reader.
func FuzzAny(f *testing.F) {
	seed(f, "*")
	f.Add([]byte(zipped(plainHead)))
	f.Add([]byte(zipOf(map[string]string{"a.csv": plainHead, "b.csv": dwdHead})))
	f.Add([]byte(inUTF16(plainHead)))
	f.Fuzz(func(t *testing.T, b []byte) { check(t, b, Options{Name: "f"}) })
}

// The other targets put a header that is recognised above the fuzzed lines, so
// that their readers are reached every time.

func FuzzByStation(f *testing.F) {
	seed(f, "ghcn-access")
	f.Fuzz(func(t *testing.T, b []byte) { check(t, append([]byte(ghcnHead), b...), Options{Name: "f"}) })
}

func FuzzByYear(f *testing.F) {
	f.Add([]byte(longHead))
	f.Fuzz(func(t *testing.T, b []byte) { check(t, append([]byte(longHead), b...), Options{Name: "f"}) })
}

func FuzzFixedWidth(f *testing.F) {
	seed(f, "ghcn-dly")
	f.Fuzz(func(t *testing.T, b []byte) {
		check(t, append([]byte(dlyLine("   10  S")+"\n"), b...), Options{Name: "f"})
	})
}

func FuzzPlain(f *testing.F) {
	f.Add([]byte(plainHead), "tmin", uint8(0))
	f.Fuzz(func(t *testing.T, b []byte, column string, unit uint8) {
		check(t, append([]byte(plainHead), b...), Options{Name: "f", Columns: Columns{TMin: column}, Unit: Unit(unit % 4)})
	})
}

func FuzzHours(f *testing.F) {
	seed(f, "open-meteo")
	const head = "latitude,longitude,elevation,utc_offset_seconds\n35.0,135.0,10,0\n\ntime,temperature_2m (°C)\n"
	f.Fuzz(func(t *testing.T, b []byte) { check(t, append([]byte(head), b...), Options{Name: "f"}) })
}

func FuzzSemicolons(f *testing.F) {
	seed(f, "dwd-kl", "meteoswiss")
	f.Fuzz(func(t *testing.T, b []byte) { check(t, append([]byte(dwdHead), b...), Options{Name: "f"}) })
}
