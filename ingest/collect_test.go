package ingest

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bloomtide/ingest/fill"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// table writes a CSV of days from 2020-01-01 on with invented weather; change
// may replace a line, by its number from 0, below the header.
func table(days int, change func(i int, date string) string) string {
	var b strings.Builder
	b.WriteString("date,tmin,tmax\n")
	for i := range days {
		d := weather.Date(18262 + i).String()
		line := fmt.Sprintf("%s,%d.5,%d.5", d, i%13-3, i%11+12)
		if change != nil {
			if s := change(i, d); s != "" {
				line = s
			}
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

func from(name, text string) Source { return Source{Name: name, Reader: strings.NewReader(text)} }

func TestCollectPlain(t *testing.T) {
	text := table(800, func(i int, d string) string {
		switch i {
		case 100:
			return d + ",,"
		case 200:
			return "2020-02-30,1,2"
		case 300:
			return d + ",9,3"
		case 400:
			return d + ",1,481"
		}
		return ""
	})
	got, err := Collect([]Source{from("garden.csv", text)}, Options{})
	require.NoError(t, err)
	require.Len(t, got, 1)
	r := got[0].Report
	require.Equal(t, "garden", got[0].Series.Site.ID)
	require.Equal(t, 800, r.Days)
	require.Equal(t, 4, r.Estimated)
	require.Equal(t, 0, r.Missing)
	require.Equal(t, 1, r.Disordered)
	require.Equal(t, 1, r.OutOfRange)
	require.Equal(t, 3, r.BadCount)
	require.Equal(t, "2020-01-01", r.FirstDate.String())
	require.Equal(t, "2022-03-10", r.LastDate.String())
	require.ErrorContains(t, r.Bad[0], "garden.csv:202:1: no such day")
	require.ErrorContains(t, r.Bad[1], "garden.csv:402:3: TMAX 481.0 °C is outside")
	require.ErrorContains(t, r.Bad[2], "garden.csv:302: TMIN 9.0 °C is above TMAX 3.0 °C on 2020-10-27")
	require.Contains(t, strings.Join(r.Notes, "\n"), "read as °C")

	bare, err := Collect([]Source{from("garden.csv", text)}, Options{NoFill: true})
	require.NoError(t, err)
	require.Equal(t, 796, bare[0].Report.Days)
	require.Equal(t, weather.Observed|weather.Rejected, bare[0].Series.Days[300].MinFlags)
}

// TestLeftOut holds that of a file which breaks off nothing stays, that its
// reason is told also where the others are too poor, and that a source is
// opened when its turn has come.
func TestLeftOut(t *testing.T) {
	torn := table(400, func(i int, d string) string {
		if i >= 100 {
			return d + ",a,b"
		}
		return d + ",-40,40"
	})
	opened := 0
	late := Source{Name: "late.csv", Open: func() (io.Reader, error) {
		opened++
		return strings.NewReader(table(400, nil)), nil
	}}
	gone := Source{Name: "gone.csv", Open: func() (io.Reader, error) { return nil, os.ErrNotExist }}
	got, err := Collect([]Source{from("torn.csv", torn), gone, late}, Options{LeaveOut: true, NoFill: true})
	require.NoError(t, err)
	require.Len(t, got, 1)
	require.Equal(t, 1, opened)
	require.Equal(t, "late", got[0].Series.Site.ID)
	require.Zero(t, got[0].Report.Duplicate)
	notes := strings.Join(got[0].Report.Notes, "\n")
	require.Contains(t, notes, "left out: torn.csv:102:3: TMAX is not a number")
	require.Contains(t, notes, "left out: file does not exist")

	_, err = Collect([]Source{from("few.csv", table(9, nil)), from("torn.csv", torn)}, Options{LeaveOut: true})
	var poor *PoorDataError
	require.ErrorAs(t, err, &poor)
	require.ErrorContains(t, err, "9 usable days")
	require.ErrorContains(t, err, "left out: torn.csv:102:3")

	_, err = Collect([]Source{from("torn.csv", torn), gone}, Options{LeaveOut: true})
	require.ErrorContains(t, err, "none of 2 files can be read; the first: torn.csv:102:3")
}

// TestAbsorbed holds that sources which may be left out join as others do.
func TestAbsorbed(t *testing.T) {
	all := func() []Source {
		return []Source{from("x-tmin.csv", "date,tmin\n2020-01-01,1\n2020-01-02,2\n"), from("x-tmax.csv", "date,tmax,rain\n2020-01-02,9,3\n2020-01-03,8,\n"),
			from("x.csv", "date,tmin,tmax\n2020-01-01,5,9\n2020-01-02,5,9\n")}
	}
	plain, err := Collect(all(), Options{NoFill: true, MinDays: 1})
	require.NoError(t, err)
	apart, err := Collect(all(), Options{NoFill: true, MinDays: 1, LeaveOut: true})
	require.NoError(t, err)
	require.Equal(t, plain[0].Series.Days, apart[0].Series.Days)
	require.Equal(t, plain[0].Report, apart[0].Report)
}

// TestRefusals holds the bad inputs that a user will give, each refused with
// one error that names the file, the line where there is one, and the mend.
func TestRefusals(t *testing.T) {
	var z bytes.Buffer
	w := gzip.NewWriter(&z)
	_, err := w.Write([]byte(table(800, nil)))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	for _, c := range []struct {
		name, text string
		options    Options
		says       []string
		poor       bool
	}{
		{name: "°F", text: table(800, func(i int, d string) string { return fmt.Sprintf("%s,%d,%d", d, 40+i%20, 60+i%25) }),
			says: []string{"f.csv: ", "use --unit F"}},
		{name: "tenths", text: table(800, func(i int, d string) string { return fmt.Sprintf("%s,%d,%d", d, i%100, 100+i%150) }),
			says: []string{"f.csv: ", "use --unit tenths"}},
		{name: "°C told to be tenths of °F's size", text: table(800, func(i int, d string) string { return fmt.Sprintf("%s,%d,%d", d, 400+i%20, 900+i%25) }),
			options: Options{Unit: format.TenthsC}, says: []string{"f.csv:2:3: TMAX 90.0 °C", "of the first 800 lines are bad"}},
		{name: "swapped", text: table(800, func(i int, d string) string { return fmt.Sprintf("%s,%d,%d", d, 12+i%10, 1+i%10) }),
			says: []string{"f.csv:2: TMIN", "800 of 800 days: the columns look swapped", "--tmin-column"}},
		{name: "empty", text: "", says: []string{"f.csv: the file is empty"}},
		{name: "PDF", text: "%PDF-1.4\n", says: []string{"f.csv: this is a PDF", "CSV"}},
		{name: "cut gzip", text: z.String()[:z.Len()/2], says: []string{"f.csv:", "ends too early", "again"}},
		{name: "impossible dates", text: table(800, func(i int, d string) string {
			if i%10 == 3 {
				return "2025-02-30,1,2"
			}
			return ""
		}), says: []string{`f.csv:5:1: no such day in the calendar: "2025-02-30"`, "lines are bad", "correct the date"}},
		{name: "only bad lines", text: "date,tmin,tmax\nx,1,2\n", says: []string{`f.csv:2:1: not a date: "x"`}},
		{name: "3 days", text: table(3, nil), says: []string{"f: 3 usable days from 2020-01-01 to 2020-01-03, at least 365"}, poor: true},
		{name: "a bad day among few", text: table(30, func(i int, _ string) string {
			if i == 5 {
				return "2025-02-30,1,2"
			}
			return ""
		}), says: []string{"usable days", "f.csv:7:1: no such day"}, poor: true},
		{name: "too much missing", text: table(3000, func(i int, d string) string {
			if i%10 < 5 {
				return d + ",,"
			}
			return ""
		}), says: []string{"too much is missing", "80% are needed"}, poor: true},
		{name: "no value at all", text: table(30, func(_ int, d string) string { return d + ",," }), says: []string{"no day has both"}, poor: true},
		{name: "maxima alone", text: table(500, func(_ int, d string) string { return d + ",,20" }), says: []string{"0 minima and 500 maxima", "give both"}, poor: true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Collect([]Source{from("f.csv", c.text)}, c.options)
			require.Empty(t, got)
			require.Error(t, err)
			for _, s := range c.says {
				require.ErrorContains(t, err, s)
			}
			var poor *PoorDataError
			var file *format.FileError
			if c.poor {
				require.ErrorAs(t, err, &poor)
				return
			}
			require.ErrorAs(t, err, &file)
			require.NotEmpty(t, file.Mend)
		})
	}
	_, err = Collect(nil, Options{})
	require.ErrorContains(t, err, "--weather")
}

// TestMerge holds the rule for files that overlap: unrejected before rejected,
// then the one read first.
func TestMerge(t *testing.T) {
	const head = `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n"
	write := func(value int, flag string) string {
		var b strings.Builder
		b.WriteString(head)
		for i := range 400 {
			fmt.Fprintf(&b, `"ZZ000000001","%s","45.0","7.0","250.0","INVENTED","  %d",",%s,S","   10",",,S"`+"\n", weather.Date(18262+i), value, flag)
		}
		return b.String()
	}
	max := func(sources ...Source) (float64, Report) {
		got, err := Collect(sources, Options{})
		require.NoError(t, err)
		require.Len(t, got, 1)
		return float64(got[0].Series.Days[50].Max), got[0].Report
	}
	v, r := max(from("a", write(200, "")), from("b", write(210, "")))
	require.Equal(t, 20.0, v)
	require.Equal(t, 2, r.Files)
	require.Equal(t, 800, r.Duplicate)
	require.Equal(t, 400, r.Differing)
	v, r = max(from("a", write(200, "X")), from("b", write(210, "")))
	require.Equal(t, 21.0, v)
	require.Equal(t, 400, r.Rejected)
	v, _ = max(from("a", write(200, "")), from("b", write(210, "X")))
	require.Equal(t, 20.0, v)
}

func TestSeveralStations(t *testing.T) {
	var b strings.Builder
	b.WriteString("station,date,tmin,tmax\n")
	for id, days := range map[string]int{"short": 400, "long": 900, "poor": 10} {
		for i := range days {
			fmt.Fprintf(&b, "%s,%s,1,%d\n", id, weather.Date(18262+i), 5+i%9)
		}
	}
	got, err := Collect([]Source{from("f.csv", b.String())}, Options{})
	require.NoError(t, err)
	require.Len(t, got, 2)
	require.Equal(t, "long", got[0].Series.Site.ID)
	require.Equal(t, "short", got[1].Series.Site.ID)
	require.Contains(t, strings.Join(got[0].Report.Notes, "\n"), "left out: poor: 10 usable days")
}

// Files without a station in them are one station if their names say so.
func TestFilesWithoutStation(t *testing.T) {
	half := func(col string) string {
		return strings.ReplaceAll(table(400, func(i int, d string) string { return fmt.Sprintf("%s,%d", d, i%5) }), "date,tmin,tmax", "date,"+col)
	}
	got, err := Collect([]Source{
		{Name: "orchard-tmin.csv", Reader: strings.NewReader(half("tmin"))},
		{Name: "orchard-tmax.csv", Reader: strings.NewReader(half("tmax"))},
	}, Options{})
	require.NoError(t, err)
	require.Len(t, got, 1)
	require.Equal(t, "orchard", got[0].Series.Site.ID)
	require.Equal(t, 400, got[0].Report.Days)
}

func TestLeaveOut(t *testing.T) {
	sources := func() []Source { return []Source{from("readme.txt", "hello\n"), from("a.csv", table(400, nil))} }
	_, err := Collect(sources(), Options{})
	require.ErrorContains(t, err, "readme.txt:1: no header")
	got, err := Collect(sources(), Options{LeaveOut: true})
	require.NoError(t, err)
	require.Contains(t, strings.Join(got[0].Report.Notes, "\n"), "left out: readme.txt:1:")
}

func TestBackwards(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(table(2000, nil)), "\n")
	var b strings.Builder
	b.WriteString(lines[0] + "\n")
	for i := len(lines) - 1; i > 0; i-- {
		b.WriteString(lines[i] + "\n")
	}
	there, err := Collect([]Source{from("f.csv", table(2000, nil))}, Options{})
	require.NoError(t, err)
	back, err := Collect([]Source{from("f.csv", b.String())}, Options{})
	require.NoError(t, err)
	require.Equal(t, there[0].Series.Start, back[0].Series.Start)
	require.Equal(t, there[0].Series.Days, back[0].Series.Days)
}

func TestClean(t *testing.T) {
	o := weather.Observed
	s := weather.Series{Days: []weather.Day{
		{Min: 1, Max: 2, MinFlags: o, MaxFlags: o},
		{Min: 3, Max: 2, MinFlags: o, MaxFlags: o},
		{Min: -91, Max: 61, MinFlags: o, MaxFlags: o},
	}}
	got, hot, wrong := Clean(s)
	require.Equal(t, 2, hot)
	require.Equal(t, 1, wrong)
	require.True(t, got.Days[0].Usable())
	require.False(t, got.Days[1].Usable())
	require.False(t, got.Days[2].MinFlags.Usable())
	require.Equal(t, o, s.Days[1].MinFlags, "the given series is left alone")
}

// earliest is bound to the oldest year that format lets through.
func TestEarliest(t *testing.T) {
	d, err := weather.MakeDate(format.Oldest, 1, 1)
	require.NoError(t, err)
	require.Equal(t, d, earliest)
}

// realSources opens files of the shared folder, or skips.
func realSources(t *testing.T, names ...string) []Source {
	t.Helper()
	var out []Source
	for _, n := range names {
		b, err := os.ReadFile(filepath.Join("..", "..", "shared", "data", "formats", filepath.FromSlash(n)))
		if err != nil {
			t.Skipf("no shared data beside the project: %v", err)
		}
		out = append(out, Source{Name: filepath.Base(n), Reader: bytes.NewReader(b)})
	}
	return out
}

// Real records: the counts are awk's over the same files, without gaps filled.
//
//	BOM: days with a number in both files, joined by date
//	ECCC: days with both cells, two years of one station and its metadata
//	DWD: days with TXK and TNK; the recent file overlaps 2018-07-04..2018-12-31, 181 days
func TestRealRecords(t *testing.T) {
	for _, c := range []struct {
		name      string
		files     []string
		id        string
		days      int
		duplicate int
		elevM     float64
		options   Options
	}{
		{"BOM", []string{"bom/IDCJAC0010_066062_1800_Data.csv", "bom/IDCJAC0011_066062_1800_Data.csv"}, "066062", 58020, 0, 0, Options{NoFill: true}},
		{"DWD", []string{"dwd-kl/r-work_data_00433-historical.txt", "dwd-kl/r-work_data_00433-recent.txt"}, "00433", 26302, 362, 0, Options{NoFill: true}},
		{"ECCC", []string{
			"eccc/en_climate_daily_BC_1054503_2017_P1D.csv", "eccc/en_climate_daily_BC_1054503_2018_P1D.csv",
			"eccc/en_climate_daily_metadata_BC_1054503.txt",
		}, "1054503", 232, 0, 46.9, Options{NoFill: true, MinDays: 100}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Collect(realSources(t, c.files...), c.options)
			require.NoError(t, err)
			require.Len(t, got, 1)
			require.Equal(t, c.id, got[0].Series.Site.ID)
			require.Equal(t, c.days, got[0].Report.Days)
			require.Equal(t, c.duplicate, got[0].Report.Duplicate)
			if c.elevM != 0 {
				require.Equal(t, c.elevM, got[0].Series.Site.ElevM)
			}
		})
	}
}

// TestExpectedError hides days of real records and refills them; the bounds are
// those stated in package fill.
func TestExpectedError(t *testing.T) {
	for _, names := range [][]string{
		{"ghcn-dly/CA006105976.dly"},
		{"dwd-kl/r-work_data_00433-historical.txt"},
		{"knmi/etmgeg_257.txt"},
		{"bom/IDCJAC0010_066062_1800_Data.csv", "bom/IDCJAC0011_066062_1800_Data.csv"},
		{"meteoswiss/nbcn_D_historical_BAS.csv"},
		{"nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv"},
		{"cdo-export/tinius_dc_temps_celsius.csv"},
		{"ghcn-access/JA000047759.csv"},
	} {
		got, err := Collect(realSources(t, names...), Options{NoFill: true})
		require.NoError(t, err)
		for gap, bound := range map[int][2]float64{1: {0.9, 2.9}, 5: {1.3, 4.1}, 30: {1.6, 4.2}, 60: {1.7, 4.3}} {
			e := fill.Score(got[0].Series, gap, fill.Options{})
			t.Logf("%s, gap of %d: minimum %.2f K, maximum %.2f K over %d values", names[0], gap, e.MinK, e.MaxK, e.Values)
			require.Greater(t, e.Values, 400)
			for _, k := range []float64{e.MinK, e.MaxK} {
				require.GreaterOrEqual(t, k, bound[0]-0.05)
				require.LessOrEqual(t, k, bound[1]+0.05)
			}
		}
	}
}
