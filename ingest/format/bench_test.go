package format

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// stationFile writes a by-station file of GHCN-Daily with invented values.
func stationFile(days int) []byte {
	var b bytes.Buffer
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n")
	for i := range days {
		d := mustCivil(1950, 1, 1) + date(i)
		fmt.Fprintf(&b, `"ZZ000000001","%s","45.017","7.733","46.0","INVENTED, ZZ","%5d",",,S","%5d",",,S","%5d",",,S"`+"\n",
			d, i%97, 150+i%131, 20+i%113)
	}
	return b.Bytes()
}

// longFile writes a by-year file with invented values.
func longFile(rows int) []byte {
	var b bytes.Buffer
	elements := [...]string{"TMAX", "TMIN", "PRCP", "SNOW", "SNWD", "WT01"}
	for i := range rows {
		fmt.Fprintf(&b, "ZZ%09d,2020%02d%02d,%s,%d,,,S,0700\n", i/6000, 1+i/6%12, 1+i/72%28, elements[i%6], i%250)
	}
	return b.Bytes()
}

func benchmark(b *testing.B, text []byte) {
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		f, err := Open(bytes.NewReader(text), Options{Name: "bench"})
		require.NoError(b, err)
		n := 0
		for _, err := range f.Readings() {
			if err != nil {
				b.Fatal(err)
			}
			n++
		}
		if n == 0 {
			b.Fatal("nothing read")
		}
	}
}

func BenchmarkByStation(b *testing.B) { benchmark(b, stationFile(20000)) }

func BenchmarkByYear(b *testing.B) { benchmark(b, longFile(100000)) }

func BenchmarkFixedWidth(b *testing.B) { benchmark(b, shared(b, "ghcn-dly/CA006105976.dly")) }

func BenchmarkRealByStation(b *testing.B) { benchmark(b, shared(b, "ghcn-access/JA000047759.csv")) }
