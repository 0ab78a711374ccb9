package format

import (
	"archive/zip"
	"bytes"
	"errors"
	"strings"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

const (
	plainHead = "date,tmin,tmax\n2020-01-01,1,2\n"
	ghcnHead  = `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n" +
		`"ZZ000000001","2020-01-01","45.0","7.0","250.0","INVENTED, ZZ","   20",",,S","   10",",,S"` + "\n"
	dwdHead  = "STATIONS_ID;MESS_DATUM;QN_4; TXK; TNK;eor\n        433;20200101;    5;  2.0;  1.0;eor\n"
	longHead = "ZZ000000001,20200101,TMAX,20,,,S,\nZZ000000001,20200101,TMIN,10,,,S,\n"
)

// dlyLine writes a station-month of the fixed layout.
func dlyLine(slots ...string) string {
	return "ZZ000000001202002TMAX" + strings.Join(slots, "") + strings.Repeat("-9999   ", 31-len(slots))
}

// TestDamage holds damaged inputs: each gives one located error, or a partial
// reading with a count of what was bad.
func TestDamage(t *testing.T) {
	const day = 2 // readings of the good day that each head carries
	for _, c := range []struct {
		name, text string
		good       int    // readings that come out
		bad        int    // bad lines in the stream
		says       string // what the first error says, with its place
	}{
		{"empty", "", 0, 1, "f: the file is empty"},
		{"only blanks", " \n\n  \n", 0, 1, "f: the file is empty"},
		{"only NULs", strings.Repeat("\x00", 100), 0, 1, "binary"},
		{"a PDF", "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n", 0, 1, "this is a PDF"},
		{"a picture", "\x89PNG\r\n\x1a\n", 0, 1, "PNG"},
		{"a spreadsheet of old", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + strings.Repeat("\x00", 60), 0, 1, "save it as CSV"},
		{"a web page", "<!DOCTYPE html>\n<html><body>404</body></html>\n", 0, 1, "a web page"},
		{"JSON", `{"latitude":52.5,"daily":{}}`, 0, 1, "JSON"},
		{"Parquet", "PAR1\x15\x04\x15\x10", 0, 1, "Parquet"},
		{"random bytes", "\x8f\x02\x00\x11\x00\x92\x00\x00\x00\x07\xfe\x99\x00", 0, 1, "binary"},
		{"prose", "Dear beekeeper,\nthe weather was fine.\n", 0, 1, "--date-column"},
		{"no header", "2020-01-01,1,2\n2020-01-02,1,2\n", 0, 1, "header"},
		{"header alone", "date,tmin,tmax\n", 0, 0, ""},
		{"no date column", "when,tmin,tmax\n2020-01-01,1,2\n", 0, 1, "f:1: no column is named like a date"},
		{"no temperatures", "date,wind,rain\n2020-01-01,1,2\n", 0, 1, "--tmin-column"},
		{"mean alone", "date,tmean\n2020-01-01,1\n", 0, 1, "--tmin-column"},
		{"ambiguous dates", "date,tmin,tmax\n1/2/2020,1,2\n2/3/2020,1,2\n", 0, 1, "f:2:1: day and month cannot be told apart"},
		{"impossible day", plainHead + "2025-02-30,1,2\n", day, 1, `f:3:1: no such day in the calendar: "2025-02-30"; correct the date`},
		{"month 13", plainHead + "2025-13-01,1,2\n", day, 1, "f:3:1: no such day"},
		{"day 0", plainHead + "2025-01-00,1,2\n", day, 1, "f:3:1: no such day"},
		{"far year", plainHead + "9999-01-01,1,2\n", day, 1, "f:3:1: year outside 1700..2100"},
		{"short year", plainHead + "1/1/20,1,2\n", day, 1, "f:3:1: not a date"},
		{"no date", plainHead + ",1,2\n", day, 1, "f:3:1: not a date"},
		{"letters in a date", plainHead + "2O20-01-02,1,2\n", day, 1, "f:3:1: not a date"},
		{"NUL in a date", plainHead + "2020-01\x0002,1,2\n", day, 1, "f:3:1: not a date"},
		{"letters in a value", plainHead + "2020-01-02,1x,2\n", day + 1, 1, `f:3:2: TMIN is not a number: "1x"`},
		{"two points", plainHead + "2020-01-02,1,2.0.0\n", day + 1, 1, "f:3:3: TMAX is not a number"},
		{"two signs", plainHead + "2020-01-02,--1,2\n", day + 1, 1, "f:3:2:"},
		{"infinity", plainHead + "2020-01-02,inf,2\n", day + 1, 1, "f:3:2:"},
		{"hex", plainHead + "2020-01-02,0x1,2\n", day + 1, 1, "f:3:2:"},
		{"NUL in a value", plainHead + "2020-01-02,\x00,2\n", day + 1, 1, "f:3:2:"},
		{"formula error", plainHead + "2020-01-02,#REF!,2\n", day + 1, 1, "f:3:2:"},
		{"both values bad", plainHead + "2020-01-02,a,b\n", day, 2, "f:3:"},
		{"too hot", plainHead + "2020-01-02,1,481\n", day + 1, 1, "f:3:3: TMAX 481.0 °C is outside -90..60; is the file in tenths of °C? use --unit tenths"},
		{"°F slip", plainHead + "2020-01-02,1,75\n", day + 1, 1, "use --unit F"},
		{"too cold", plainHead + "2020-01-02,-91,2\n", day + 1, 1, "f:3:2: TMIN -91.0 °C is outside"},
		{"huge number", plainHead + "2020-01-02,1,1e300\n", day + 1, 1, "f:3:3:"},
		{"negative rain", "date,tmin,tmax,rain\n2020-01-01,1,2,-5\n", day, 1, "f:2:4: PRCP -5.0 mm"},
		{"torn last line", plainHead + "2020-01-02,1", day, 1, "f:3: 2 fields where the header has 3"},
		{"missing field", plainHead + "2020-01-02,1\n2020-01-03,1,2\n", day + 2, 1, "f:3: 2 fields"},
		{"extra field", plainHead + "2020-01-02,1,5,2\n", day, 1, "f:3: 4 fields where the header has 3"},
		{"decimal comma in commas", plainHead + "2020-01-02,1,5,2,5\n", day, 1, "f:3: 5 fields"},
		{"decimal comma among points", plainHead + `2020-01-02,"1,5",2.5` + "\n", day + 1, 1, "f:3:2: TMIN is not a number: \"1,5\"; write decimals with a point"},
		{"open quote", plainHead + "\"2020-01-02,1,2\n", day, 1, "f:3: 1 fields"},
		{"prose at the end", plainHead + "Source: invented\n", day, 1, "f:3: 1 fields"},
		{"huge field", plainHead + strings.Repeat("9", 100_000) + ",1,2\n", day, 1, "f:3:1: not a date"},
		{"line beyond the buffer", plainHead + strings.Repeat("9", headSize+10) + "\n2020-01-03,1,2\n", day + 2, 1, "f:3: line longer than 512 KiB"},
		{"blank cells at the end", plainHead + "2020-01-02,1,2,,\n", day + 2, 0, ""},
		{"blank lines", plainHead + "\n\n,,\n2020-01-02,1,2\n", day + 2, 0, ""},
		{"GHCN, letters", ghcnHead + `"ZZ000000001","2020-01-02","45.0","7.0","250.0","INVENTED, ZZ","  2O0",",,S","   10",",,S"` + "\n", day + 1, 1, "f:3:7: TMAX is not a number"},
		{"GHCN, beyond the possible", ghcnHead + `"ZZ000000001","2020-01-02","45.0","7.0","250.0","INVENTED, ZZ"," 2000",",,S","   10",",,S"` + "\n", day + 1, 1, "f:3:7: TMAX 200.0 °C"},
		{"GHCN, lost quotes", ghcnHead + `ZZ000000001,2020-01-02,45.0,7.0,250.0,INVENTED, ZZ,   20,,,S,   10,,,S` + "\n", day, 1, "f:3: "},
		{"GHCN, cut line", ghcnHead + `"ZZ000000001","2020-01-02","45.0`, day, 1, "f:3: 3 fields"},
		{"DWD, swapped bytes", dwdHead + "        433;20200102;    5; 0.2.;  1.0;eor\n", day + 1, 1, "f:3:4:"},
		{"DWD, day 32", dwdHead + "        433;20200132;    5;  2.0;  1.0;eor\n", day, 1, "f:3:2: no such day"},
		{"by year, cut line", longHead + "ZZ000000001,202001", day, 1, "f:3: not a line of station"},
		{"by year, bad day", longHead + "ZZ000000001,20200230,TMAX,20,,,S,\n", day, 1, "f:3:2: no such day"},
		{"by year, bad value", longHead + "ZZ000000001,20200102,TMAX,2O,,,S,\n", day, 1, "f:3:4: TMAX is not a number"},
		{"by year, beyond the possible", longHead + "ZZ000000001,20200102,TMAX,2000,,,S,\n", day, 1, "f:3:4: TMAX 200.0"},
		{"by year, bad station", longHead + "ZZ0001,20200102,TMAX,20,,,S,\n", day, 1, "f:3: not a line"},
		{"fixed, bad slot", dlyLine("   1X  S", "   20  S") + "\n", 1, 1, "f:1:5: TMAX of 2020-02-01 is not a number"},
		{"fixed, cut line", dlyLine("   10  S") + "\n" + dlyLine("   20  S")[:100] + "\n", 2, 1, "f:2:14: the line ends after day 10 of 29"},
		{"fixed, bad month", dlyLine("   10  S") + "\n" + strings.Replace(dlyLine("   20  S"), "202002", "202013", 1) + "\n", 1, 1, "f:2:2: not a month"},
		{"fixed, prose between", dlyLine("   10  S") + "\nthe end\n", 1, 1, "f:2: not a line"},
		{"gzip cut", zipped(strings.Repeat("2020-01-01,1,2\n", 5000))[:60], 0, 1, "the compressed file ends too early"},
		{"gzip of a PDF", zipped("%PDF-1.7\n"), 0, 1, "PDF"},
		{"gzip header alone", "\x1f\x8b\x08\x00", 0, 1, "f: the compressed file ends too early"},
		{"gzip with a flipped byte", flipped(zipped(plainHead), 14), 0, 1, "the compressed file is damaged"},
		{"zip cut", zipOf(map[string]string{"a.csv": plainHead})[:80], 0, 1, "f: the zip is damaged or cut off"},
		{"zip of nothing", zipOf(nil), 0, 1, "f: the zip holds no text"},
		{"spreadsheet", zipOf(map[string]string{"xl/workbook.xml": "<x/>"}), 0, 1, "office spreadsheet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			good, faults := 0, []error{}
			f, err := Open(strings.NewReader(c.text), Options{Name: "f"})
			if err != nil {
				faults = append(faults, err)
			} else {
				for r, err := range f.Readings() {
					if err != nil {
						faults = append(faults, err)
						continue
					}
					require.True(t, Possible(r.Element, r.Value))
					good++
				}
			}
			require.Equal(t, c.good, good)
			require.Len(t, faults, c.bad)
			if c.bad > 0 {
				require.ErrorContains(t, faults[0], c.says)
				require.True(t, strings.HasPrefix(faults[0].Error(), "f:"), faults[0])
			}
		})
	}
}

// flipped turns a byte over.
func flipped(s string, at int) string {
	b := []byte(s)
	b[at] ^= 0xff
	return string(b)
}

func zipOf(members map[string]string) string {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for name, text := range members {
		m, err := w.Create(name)
		if err == nil {
			_, err = m.Write([]byte(text))
		}
		if err != nil {
			return err.Error()
		}
	}
	if err := w.Close(); err != nil {
		return err.Error()
	}
	return b.String()
}

// TestCutGzip cuts a long compressed record: what comes before the cut is
// read, and the last item is an error with the line reached and the mend.
func TestCutGzip(t *testing.T) {
	whole := zipped(string(stationFile(20000)))
	f, err := Open(strings.NewReader(whole[:len(whole)*3/4]), Options{Name: "a.csv.gz"})
	require.NoError(t, err)
	n := 0
	var last error
	for _, err := range f.Readings() {
		require.NoError(t, last, "nothing follows an I/O error")
		last = err
		n++
	}
	require.Greater(t, n, 1000)
	var e *FileError
	require.ErrorAs(t, last, &e)
	require.Greater(t, e.Line, 1000)
	require.Contains(t, e.Error(), "the compressed file ends too early")
	require.Contains(t, e.Mend, "again")
}

// broken fails after some bytes, as a disk or a line does.
type broken struct{ r *strings.Reader }

var errDisk = errors.New("invented disk error")

func (b broken) Read(p []byte) (int, error) {
	if b.r.Len() == 0 {
		return 0, errDisk
	}
	return b.r.Read(p)
}

func TestBrokenReader(t *testing.T) {
	f, err := Open(broken{strings.NewReader(plainHead + "2020-01-02,1,")}, Options{Name: "f"})
	require.NoError(t, err)
	var last error
	n := 0
	for _, err := range f.Readings() {
		if last = err; err == nil {
			n++
		}
	}
	require.Equal(t, 2, n, "the torn line is not trusted")
	require.ErrorIs(t, last, errDisk)
	var bad *weather.SyntaxError
	require.False(t, errors.As(last, &bad), "an I/O error is no bad line")
}
