package archive

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// One station of a by-year file; made-up values.
func BenchmarkEncodeAYear(b *testing.B) {
	s := weather.Series{Site: weather.Site{ID: "QZ000000001", Point: weather.Nowhere()}, Days: make([]weather.Day, 366)}
	for i := range s.Days {
		s.Days[i] = weather.Day{
			Min: weather.Celsius(i%97) / 10, Max: weather.Celsius(150+i%131) / 10, RainMm: float64(i % 7),
			MinFlags: weather.Observed, MaxFlags: weather.Observed, RainFlags: weather.Observed,
		}
	}
	e := new(encoder)
	b.ReportAllocs()
	for b.Loop() {
		_, err := e.encode(s)
		require.NoError(b, err)
	}
}
