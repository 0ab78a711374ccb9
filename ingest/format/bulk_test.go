package format_test

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// large are the stations of a large file by identifier.
func large(t require.TestingT, l *format.Large, workers int) map[string]weather.Series {
	out := map[string]weather.Series{}
	var mutex sync.Mutex
	require.NoError(t, l.Each(workers, func(s weather.Series, _ format.Tally) error {
		mutex.Lock()
		defer mutex.Unlock()
		s.Days = append([]weather.Day(nil), s.Days...)
		out[s.Site.ID] = s
		return nil
	}))
	return out
}

// yearFile writes an invented by-year file: stations that report now and then,
// flags, frost, a letter where none belongs, values that cannot be, and what is
// not kept.
func yearFile(seed uint64, lines int, faults bool) string {
	return yearOf([]string{"TMAX", "TMIN", "PRCP", "SNOW", "TAVG", "AWND"}, seed, lines, faults)
}

// calmYear is what yearFile writes where no station measures wind, as most do
// not.
func calmYear(lines int) string {
	return yearOf([]string{"TMAX", "TMIN", "PRCP", "SNOW", "TAVG"}, 1, lines, false)
}

func yearOf(elements []string, seed uint64, lines int, faults bool) string {
	r := rand.New(rand.NewPCG(seed, 2))
	var b strings.Builder
	for i := range lines {
		id := fmt.Sprintf("QZ%09d", r.IntN(40))
		day := weather.Date(19723 + i*200/lines) // from 2024-01-01
		y, m, d := day.YMD()
		element := elements[r.IntN(len(elements))]
		value := strconv.Itoa(r.IntN(900) - 400)
		if element == "PRCP" || element == "AWND" {
			value = strconv.Itoa(r.IntN(map[string]int{"PRCP": 2000, "AWND": 900}[element]))
		}
		flag := ""
		if r.IntN(30) == 0 {
			flag = "I"
		}
		if faults {
			switch r.IntN(60) {
			case 0:
				value = "8x"
			case 1:
				value = "9999"
			case 2:
				value = "-9999"
			case 3:
				id = "Q"
			case 4:
				value = ""
			case 5:
				value = "12.5"
			}
		}
		fmt.Fprintf(&b, "%s,%04d%02d%02d,%s,%s,%s,%s,7,%s\n", id, y, m, d, element, value,
			[]string{"", "", "T"}[r.IntN(3)], flag, []string{"", "0700"}[r.IntN(2)])
	}
	return b.String()
}

// A by-year file as encoding/csv has it: usable days of both extremes and the
// sum of all usable temperatures in tenths, by station. The first value stands,
// unless its flag rejects it and that of a later one does not.
func yearByCSV(t require.TestingT, text string) map[string][2]int {
	type cell struct{ v, bad int }
	values := map[string]map[string]*cell{}
	rows := csv.NewReader(strings.NewReader(text))
	for {
		f, err := rows.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if f[2] != "TMAX" && f[2] != "TMIN" {
			continue
		}
		v, err := strconv.Atoi(f[3])
		require.NoError(t, err)
		c := &cell{v, len(f[5])}
		if values[f[0]] == nil {
			values[f[0]] = map[string]*cell{}
		}
		have := values[f[0]][f[1]+f[2]]
		if have == nil || have.bad > 0 && c.bad == 0 {
			values[f[0]][f[1]+f[2]] = c
		}
	}
	out := map[string][2]int{}
	for id, days := range values {
		n := [2]int{}
		for k, c := range days {
			if c.bad > 0 {
				continue
			}
			n[1] += c.v
			if lo := days[strings.TrimSuffix(k, "TMAX")+"TMIN"]; strings.HasSuffix(k, "TMAX") && lo != nil && lo.bad == 0 && lo.v <= c.v {
				n[0]++
			}
		}
		out[id] = n
	}
	return out
}

func TestByYearAsAnOutsideReaderHasIt(t *testing.T) {
	for seed := range uint64(4) {
		text := yearFile(seed, 20000, false)
		want := yearByCSV(t, text)
		for _, workers := range []int{1, 2, 3, 7} {
			l, ok, err := format.ReadByYear(format.LargeSource{Name: "y.csv", Reader: strings.NewReader(text), Workers: workers})
			require.NoError(t, err)
			require.True(t, ok)
			require.Equal(t, 20000, l.Lines)
			require.Zero(t, l.Faults)
			got := map[string][2]int{}
			for id, s := range large(t, l, workers) {
				n := [2]int{s.Usable(s.Start, s.End()), 0}
				for _, d := range s.Days {
					if d.MinFlags.Usable() {
						n[1] += tenths(d.Min)
					}
					if d.MaxFlags.Usable() {
						n[1] += tenths(d.Max)
					}
				}
				got[id] = n
			}
			require.Equal(t, want, got, "%d workers", workers)
		}
	}
}

func tenths(c weather.Celsius) int {
	if c < 0 {
		return int(c*10 - 0.5)
	}
	return int(c*10 + 0.5)
}

// Faults are those of the reader that plan uses, in place, word and number,
// however the file is shared out, and packed as well.
func TestByYearFaultsAreTheSame(t *testing.T) {
	text := yearFile(9, 8000, true)
	var want []string
	f, err := format.Open(strings.NewReader(text), format.Options{Name: "y.csv"})
	require.NoError(t, err)
	for _, err := range f.Readings() {
		if err != nil {
			want = append(want, err.Error())
		}
	}
	require.Greater(t, len(want), 100)
	sources := map[string]func() io.Reader{
		"plain": func() io.Reader { return strings.NewReader(text) },
		"gzip":  func() io.Reader { return bytes.NewReader(packed(t, text)) },
	}
	for name, open := range sources {
		for _, workers := range []int{1, 2, 5} {
			l, ok, err := format.ReadByYear(format.LargeSource{Name: "y.csv", Reader: open(), Workers: workers})
			require.NoError(t, err)
			require.True(t, ok, name)
			require.Equal(t, len(want), l.Faults)
			require.Equal(t, f.Lines(), l.Lines)
			require.Equal(t, f.OutOfRange(), l.OutOfRange)
			require.Len(t, l.First, 20)
			for i, e := range l.First {
				require.Equal(t, want[i], e.Error(), "%s, %d workers", name, workers)
			}
		}
	}
}

func packed(t require.TestingT, text string) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := z.Write([]byte(text))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return b.Bytes()
}

func TestByYearBrokenOff(t *testing.T) {
	whole := packed(t, yearFile(1, 50000, false))
	_, ok, err := format.ReadByYear(format.LargeSource{Name: "y.csv.gz", Reader: bytes.NewReader(whole[:len(whole)/2])})
	require.False(t, ok)
	var wrong *format.FileError
	require.ErrorAs(t, err, &wrong)
	require.ErrorContains(t, err, "y.csv.gz:")
	require.ErrorContains(t, err, "ends too early")
	bent := bytes.Clone(whole)
	bent[len(bent)/2] ^= 0xff
	_, ok, err = format.ReadByYear(format.LargeSource{Name: "y.csv.gz", Reader: bytes.NewReader(bent)})
	require.False(t, ok, "a damaged file is named, or left to Open if it unpacks to something else")
	if err != nil {
		require.ErrorContains(t, err, "y.csv.gz:")
	}
}

// What is not a by-year file, or spans more than the table, is left to Open.
func TestNotForTheLargeReaders(t *testing.T) {
	spread := "QZ000000001,19000101,TMAX,50,,,7,\nQZ000000001,20240101,TMAX,50,,,7,\n"
	for name, text := range map[string]string{
		"empty": "", "words": "not a table\n", "plain": "date,tmin,tmax\n2024-01-01,1,2\n", "a century": spread,
		"one long line": strings.Repeat("QZ000000001,20240101,TMAX,50,,,7,", 20000),
	} {
		_, ok, err := format.ReadByYear(format.LargeSource{Name: name, Reader: strings.NewReader(text)})
		require.NoError(t, err, name)
		require.False(t, ok, name)
		_, ok, err = format.ReadStationCSV(format.LargeSource{Name: name, Reader: strings.NewReader(text)})
		require.NoError(t, err, name)
		require.False(t, ok, name)
	}
}

const calmHeader = `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES","WT01","WT01_ATTRIBUTES"`

// stationText writes an invented by-station file.
func stationText(seed uint64, days int, faults bool) string {
	return stationOf(true, seed, days, faults)
}

// stationOf writes one that measures wind in its later half, or none.
func stationOf(windy bool, seed uint64, days int, faults bool) string {
	r := rand.New(rand.NewPCG(seed, 3))
	var b strings.Builder
	header := calmHeader
	if windy {
		header = strings.Replace(header, `"WT01",`, `"AWND","AWND_ATTRIBUTES","WT01",`, 1)
	}
	b.WriteString(header + "\n")
	cell := func(lo, span int) {
		v := fmt.Sprintf("%5d", r.IntN(span)+lo)
		if faults {
			switch r.IntN(2000) {
			case 0:
				v = " 12x4"
			case 1:
				v = "20000"
			}
		}
		switch r.IntN(12) {
		case 0:
			b.WriteString(",,")
		case 1:
			fmt.Fprintf(&b, `,"%s",",I,7,0700"`, v)
		default:
			fmt.Fprintf(&b, `,"%s","%s,,7"`, v, []string{"", "", "T"}[r.IntN(3)])
		}
	}
	for i := range days {
		if r.IntN(60) == 0 {
			continue
		}
		fmt.Fprintf(&b, `"QZ000000001","%s","44.9000","-93.2000","250.0","QUILL ""BRIDGE"", QZ"`, weather.Date(10000+i))
		cell(0, 500)
		cell(0, 50)
		cell(50, 300)
		cell(-300, 300)
		switch {
		case windy && i < days/2:
			b.WriteString(",,")
		case windy:
			cell(0, 250)
		}
		b.WriteString(",,\n")
	}
	return b.String()
}

func TestStationFileAsOpenHasIt(t *testing.T) {
	for _, quoted := range []bool{true, false} {
		for seed := range uint64(6) {
			text := stationText(seed, 4000, seed%2 == 1)
			if !quoted {
				text = strings.ReplaceAll(text, `QUILL ""BRIDGE"", QZ`, "QUILL BRIDGE, QZ")
			}
			l, ok, err := format.ReadStationCSV(format.LargeSource{Name: "s.csv", Reader: strings.NewReader(text)})
			require.NoError(t, err)
			require.Equal(t, !quoted && seed%2 == 0, ok, "a doubled quote on every line is for Open, and a fault")
			if !ok {
				continue
			}
			f, err := format.Open(strings.NewReader(text), format.Options{Name: "s.csv"})
			require.NoError(t, err)
			for _, err := range f.Readings() {
				require.NoError(t, err)
			}
			require.Equal(t, f.Lines(), l.Lines)
			got := large(t, l, 1)
			require.Equal(t, f.Sites()[0], got["QZ000000001"].Site)
			require.Equal(t, asOpenHasIt(t, text), daysOf(got))
		}
	}
}

// Two readings of one value: the first stands, unless it was rejected; both
// are counted, across the border of two shares too.
func TestTwiceInALargeFile(t *testing.T) {
	line := func(v int, flag string) string {
		return fmt.Sprintf("QZ000000001,20240101,TMAX,%d,,%s,7,\n", v, flag)
	}
	filler := strings.Repeat("QZ000000002,20240101,SNOW,0,,,7,\n", 50)
	for _, c := range []struct {
		first, second string
		want          weather.Celsius
	}{
		{line(50, ""), line(60, ""), 5}, {line(50, "I"), line(60, ""), 6}, {line(50, "I"), line(60, "I"), 5},
	} {
		for _, workers := range []int{1, 2} {
			l, ok, err := format.ReadByYear(format.LargeSource{
				Reader: strings.NewReader(c.first + filler + c.second), Workers: workers,
			})
			require.NoError(t, err)
			require.True(t, ok)
			require.NoError(t, l.Each(1, func(s weather.Series, n format.Tally) error {
				require.Equal(t, c.want, s.Days[0].Max)
				require.Equal(t, 1, n.Duplicate)
				require.Equal(t, 1, n.Differing)
				return nil
			}))
		}
	}
}

func TestEachStopsAtAnError(t *testing.T) {
	l, ok, err := format.ReadByYear(format.LargeSource{Reader: strings.NewReader(yearFile(1, 5000, false))})
	require.NoError(t, err)
	require.True(t, ok)
	stop := errors.New("enough")
	require.ErrorIs(t, l.Each(3, func(weather.Series, format.Tally) error { return stop }), stop)
}

// However a file is cut into shares, its lines are read once each.
func TestSharesMeetAtLineEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := yearFile(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(1, 60).Draw(t, "lines"), false)
		if rapid.Bool().Draw(t, "torn") {
			text = strings.TrimSuffix(text, "\n")
		}
		l, ok, err := format.ReadByYear(format.LargeSource{
			Reader: strings.NewReader(text), Workers: rapid.IntRange(1, 20).Draw(t, "workers"),
		})
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, strings.Count(strings.TrimSuffix(text, "\n"), "\n")+1, l.Lines)
	})
}

// FuzzLarge gives any text to both readers of large files. What they take must
// have the faults that Open finds and values that can be on earth.
func FuzzLarge(f *testing.F) {
	f.Add([]byte(yearFile(1, 30, true)), uint8(2))
	f.Add([]byte(stationText(1, 30, true)), uint8(1))
	f.Add([]byte(strings.ReplaceAll(stationText(1, 30, false), `QUILL ""BRIDGE"", QZ`, "A")), uint8(1))
	f.Add([]byte("QZ000000001,20240101,TMAX,-50,,I,7\r\nQZ000000001,20240101,TMAX,99999999,,,"), uint8(3))
	f.Fuzz(func(t *testing.T, text []byte, workers uint8) {
		src := func() format.LargeSource {
			return format.LargeSource{Name: "x", Reader: bytes.NewReader(text), Workers: int(workers % 8)}
		}
		for _, read := range []func(format.LargeSource) (*format.Large, bool, error){format.ReadByYear, format.ReadStationCSV} {
			l, ok, err := read(src())
			if err != nil || !ok {
				continue
			}
			faults := 0
			o, err := format.Open(bytes.NewReader(text), format.Options{Name: "x"})
			if err != nil {
				continue // it takes the first half megabyte for no text; bad lines are told here
			}
			for _, err := range o.Readings() {
				if err != nil {
					faults++
				}
			}
			require.Equal(t, faults, l.Faults)
			stations := large(t, l, int(workers%4))
			if l.Layout == o.Layout() { // Open may take a few strange lines for another table
				require.Equal(t, asOpenHasIt(t, string(text)), daysOf(stations))
			}
			ids := make([]string, 0, len(stations))
			for id, s := range stations {
				ids = append(ids, id)
				for _, d := range s.Days {
					require.True(t, d.MinFlags == 0 || d.Min >= weather.Coldest && d.Min <= weather.Hottest)
					require.True(t, d.MaxFlags == 0 || d.Max >= weather.Coldest && d.Max <= weather.Hottest)
				}
			}
			sort.Strings(ids)
			require.LessOrEqual(t, len(ids), l.Stations)
		}
	})
}

func BenchmarkByYear(b *testing.B) { benchByYear(b, calmYear(200000)) }

// One line in six is of wind; in the published files it is one in a hundred.
func BenchmarkByYearWithWind(b *testing.B) { benchByYear(b, yearFile(1, 200000, false)) }

func benchByYear(b *testing.B, text string) {
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		l, ok, err := format.ReadByYear(format.LargeSource{Reader: strings.NewReader(text), Workers: 2})
		require.NoError(b, err)
		require.True(b, ok)
		require.NoError(b, l.Each(2, func(weather.Series, format.Tally) error { return nil }))
	}
}

func BenchmarkStationFile(b *testing.B) { benchStation(b, stationOf(false, 1, 21900, false)) }

func BenchmarkStationFileWithWind(b *testing.B) { benchStation(b, stationText(1, 21900, false)) }

func benchStation(b *testing.B, text string) {
	text = strings.ReplaceAll(text, `QUILL ""BRIDGE"", QZ`, "QUILL BRIDGE, QZ")
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		l, ok, err := format.ReadStationCSV(format.LargeSource{Reader: strings.NewReader(text)})
		require.NoError(b, err)
		require.True(b, ok)
		require.NoError(b, l.Each(1, func(weather.Series, format.Tally) error { return nil }))
	}
}
