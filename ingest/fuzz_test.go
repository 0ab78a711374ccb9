package ingest

import (
	"bytes"
	"testing"

	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// FuzzCollect reads anything to the end: no panic, and no usable day outside
// what is possible or upside down.
func FuzzCollect(f *testing.F) {
	f.Add([]byte(table(40, nil)), uint8(0))
	f.Add([]byte("station,date,tmin,tmax\na,2020-01-01,1,2\nb,2020-01-02,3,1\na,1700-01-01,1,2\n"), uint8(1))
	f.Fuzz(func(t *testing.T, b []byte, unit uint8) {
		got, err := Collect([]Source{{Name: "f", Reader: bytes.NewReader(b)}}, Options{Unit: format.Unit(unit % 4), MinDays: 1})
		if err != nil {
			require.Empty(t, got)
			return
		}
		for _, r := range got {
			require.Len(t, r.Series.Days, r.Report.Days+r.Report.Missing)
			for _, d := range r.Series.Days {
				if d.Usable() && (d.Min < weather.Coldest || d.Max > weather.Hottest || d.Min > d.Max) {
					require.Failf(t, "impossible", "%+v", d)
				}
			}
		}
	})
}
