package archive

import (
	"bytes"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// small is the file of a small record, with wind now and then or none.
func small(t testing.TB, days int, wind bool) []byte {
	site := weather.Site{ID: "A", Name: "Invented", Point: weather.Nowhere(), ElevM: math.NaN()}
	s := weather.Series{Site: site, Start: 100, Days: make([]weather.Day, days), Sources: []weather.Site{site}}
	for i := range s.Days {
		if i%7 != 0 {
			s.Days[i] = weather.Day{Min: weather.Celsius(i%90) / 10, MinFlags: weather.Observed, Max: 20, MaxFlags: weather.Observed}
		}
		if wind && i%3 == 0 {
			s.Days[i].WindMs, s.Days[i].WindFlags = float64(i%90)/10, weather.Observed
		}
	}
	b, err := new(encoder).encode(s)
	require.NoError(t, err)
	return b
}

// FuzzDecode damages a file at up to two places. As it is, the checksum must
// find that; with the checksum made to fit again, decoding must end in the
// file's name or in a record that can be.
func FuzzDecode(f *testing.F) {
	f.Add(uint16(5), byte(1), uint16(9), byte(0), []byte(nil))
	f.Add(uint16(600), byte(0x80), uint16(601), byte(0x7f), []byte(nil))
	f.Add(uint16(0), byte(0), uint16(0), byte(0), []byte("PAR1"))
	f.Add(uint16(0), byte(0), uint16(0), byte(0), small(f, 3, false))
	f.Add(uint16(0), byte(0), uint16(0), byte(0), small(f, 60, false))
	whole := small(f, 60, true)
	f.Fuzz(func(t *testing.T, at uint16, x byte, at2 uint16, x2 byte, own []byte) {
		b := bytes.Clone(whole)
		if len(own) > 0 {
			b = own
		}
		before := bytes.Clone(b)
		b[int(at)%len(b)] ^= x
		b[int(at2)%len(b)] ^= x2
		s, err := Decode("a.parquet", b)
		if len(own) == 0 && !bytes.Equal(before, b) {
			require.Error(t, err, "damage was not found")
		}
		possible(t, s, err)
		if i := sumAt(b); i >= 0 {
			copy(b[i:], sum(b, i))
			s, err = Decode("a.parquet", b)
			possible(t, s, err)
		}
		_, err = head("a.parquet", bytes.NewReader(b), int64(len(b)))
		if err != nil {
			require.ErrorContains(t, err, "a.parquet")
		}
	})
}

// possible wants a record on earth or an error that names the file.
func possible(t *testing.T, s weather.Series, err error) {
	t.Helper()
	if err != nil {
		var damage *DamageError
		require.True(t, errors.As(err, &damage))
		require.ErrorContains(t, err, "a.parquet")
		return
	}
	require.LessOrEqual(t, len(s.Days), mostDays)
	for _, d := range s.Days {
		low := d.MinFlags == 0 || d.Min >= weather.Coldest && d.Min <= weather.Hottest
		wind := d.WindFlags == 0 || d.WindMs >= 0 && d.WindMs <= windiest
		if high := d.MaxFlags == 0 || d.Max >= weather.Coldest && d.Max <= weather.Hottest; !low || !high || !wind {
			require.Failf(t, "impossible", "%+v", d)
		}
	}
}
