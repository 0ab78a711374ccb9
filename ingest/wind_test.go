package ingest

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// blown is a by-year file of one invented station that has extremes on all
// days, and wind in tenths of m/s as winds writes it: "34", "34X" for one
// that is rejected, "" for none.
func blown(days int, winds func(day int) string) string {
	var b strings.Builder
	for i := range days {
		y, m, d := weather.Date(18262 + i).YMD() // from 2020-01-01
		line := fmt.Sprintf("QZ000000001,%04d%02d%02d", y, m, d)
		fmt.Fprintf(&b, "%s,TMAX,%d,,,W,\n%s,TMIN,%d,,,W,\n", line, 100+i%50, line, i%50)
		if w := winds(i); w != "" {
			value, bad := strings.CutSuffix(w, "X")
			flag := map[bool]string{true: "X"}[bad]
			fmt.Fprintf(&b, "%s,AWND,%s,,%s,W,\n", line, value, flag)
		}
	}
	return b.String()
}

// Files of one station that overlap: wind that is not rejected stands before
// wind that is, else what was read first, whether a file may be left out or
// comes from the archive.
func TestWindOfFilesThatOverlap(t *testing.T) {
	first := blown(400, func(i int) string { return []string{"34", "34X", "34X", "", "0", "99999X"}[i%6] })
	second := blown(400, func(i int) string { return []string{"51", "51", "51X", "51", "51X", "51X"}[i%6] })
	const seen, bad = weather.Observed, weather.Observed | weather.Rejected
	want := []weather.Day{
		{WindMs: 3.4, WindFlags: seen},
		{WindMs: 5.1, WindFlags: seen},
		{WindMs: 3.4, WindFlags: bad},
		{WindMs: 5.1, WindFlags: seen},
		{WindFlags: seen},
		{WindMs: 5.1, WindFlags: bad},
	}
	held := func(r Record) {
		t.Helper()
		require.Len(t, r.Series.Days, 400)
		for i, d := range r.Series.Days {
			require.Equal(t, want[i%6], weather.Day{WindMs: d.WindMs, WindFlags: d.WindFlags}, "day %d", i)
		}
	}
	var days weather.Series
	for _, apart := range []bool{false, true} {
		got, err := Collect([]Source{from("a.csv", first), from("b.csv", second)}, Options{LeaveOut: apart})
		require.NoError(t, err)
		held(got[0])
		days = got[0].Series
	}
	kept, err := Kept(days, Options{})
	require.NoError(t, err)
	held(kept)
	held(Tend([]Record{kept}, TendOptions{})[0].Record)
	decode := func(string, []byte) (weather.Series, error) { return days, nil }
	got, err := Collect([]Source{from("a.parquet", parquetMagic), from("b.csv", second)}, Options{Decode: decode})
	require.NoError(t, err)
	held(got[0])
}

// A series that was read and kept tells as many rejected extremes as its file
// did, and those out of order are not among them.
func TestKeptTellsWhatItsPublisherRejected(t *testing.T) {
	text := blown(400, func(int) string { return "" })
	text = strings.Replace(text, "TMAX,103,,,", "TMAX,103,,I,", 2)
	text = strings.Replace(text, "TMIN,7,,,", "TMIN,700,,,", 1)
	text = strings.Replace(text, "TMIN,9,,,", "TMIN,300,,,", 1)
	got, err := Collect([]Source{from("a.csv", text)}, Options{NoFill: true})
	require.NoError(t, err)
	require.Equal(t, 2, got[0].Report.Rejected)
	require.Equal(t, 1, got[0].Report.Disordered)
	again, err := Kept(got[0].Series, Options{NoFill: true})
	require.NoError(t, err)
	require.Equal(t, 2, again.Report.Rejected)
	require.Equal(t, got[0].Series.Days, again.Series.Days)
}

// Large gives the days that Collect gives, wind among them, of both layouts.
func TestLargeAsCollectHasIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wind := rapid.SampledFrom([]string{"", "", "0", "34", "57", "34X", "1200", "99999X"})
		text := blown(40, func(int) string { return wind.Draw(t, "wind") })
		if rapid.Bool().Draw(t, "by station") {
			text = wide(text)
		}
		want, err := Collect([]Source{from("x.csv", text)}, Options{NoFill: true, MinDays: 1})
		require.NoError(t, err)
		var got []weather.Series
		src := format.LargeSource{Name: "x.csv", Reader: bytes.NewReader([]byte(text)), Workers: rapid.IntRange(1, 3).Draw(t, "workers")}
		r, err := Large(src, 1, func(r Record) error {
			s := r.Series
			s.Days = slices.Clone(s.Days)
			got = append(got, s)
			return nil
		})
		require.NoError(t, err)
		require.True(t, r.Processed)
		require.Len(t, got, 1)
		require.Equal(t, want[0].Series.Start, got[0].Start)
		require.Equal(t, want[0].Series.Days, got[0].Days)
	})
}

// wide writes a by-year file of one station as its by-station file.
func wide(text string) string {
	var b strings.Builder
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME"`)
	elements := []string{"TMAX", "TMIN", "AWND"}
	for _, e := range elements {
		fmt.Fprintf(&b, `,"%s","%s_ATTRIBUTES"`, e, e)
	}
	cells := map[string]map[string]string{}
	var days []string
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		f := strings.Split(line, ",")
		if cells[f[1]] == nil {
			cells[f[1]] = map[string]string{}
			days = append(days, f[1])
		}
		cells[f[1]][f[2]] = fmt.Sprintf(`,"%5s",",%s,W"`, f[3], f[5])
	}
	for _, d := range days {
		fmt.Fprintf(&b, "\n"+`"QZ000000001","%s-%s-%s","45.0000","7.0000","250.0","QUILL FIELD"`, d[:4], d[4:6], d[6:])
		for _, e := range elements {
			if c := cells[d][e]; c != "" {
				b.WriteString(c)
			} else {
				b.WriteString(",,")
			}
		}
	}
	return b.String() + "\n"
}
