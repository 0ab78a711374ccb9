package format

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf16"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// one is a reading as a test states it.
type one struct {
	station, date string
	element       weather.Element
	value         float64
	rejected      bool
}

// TestWrittenLayouts reads layouts of which no real file is at hand, and the
// many forms of a keeper's own CSV. Values are invented; expectations are
// worked out by hand from the unit definitions.
func TestWrittenLayouts(t *testing.T) {
	for _, c := range []struct {
		name, layout, text string
		options            Options
		want               []one
	}{
		{name: "by year", layout: "GHCN-Daily by-year CSV",
			text: "ZZ000000001,20200229,TMAX,123,,,S,0700\nZZ000000001,20200229,TMIN,-99,,,S,\nZZ000000001,20200229,SNOW,5,,,S,\n" +
				"ZZ000000002,20200301,TMAX,500,,X,S,\nZZ000000002,20200301,PRCP,999,,,S,\n",
			want: []one{
				{"ZZ000000001", "2020-02-29", weather.TMax, 12.3, false}, {"ZZ000000001", "2020-02-29", weather.TMin, -9.9, false},
				{"ZZ000000002", "2020-03-01", weather.TMax, 50, true}, {"ZZ000000002", "2020-03-01", weather.Rain, 99.9, false},
			}},
		{name: "French Environment Canada", layout: "Environment Canada daily CSV (French)",
			text: "\"Longitude (x)\",\"Latitude (y)\",\"Nom de la Station\",\"ID climatologique\",\"Date/Heure\",\"Temp max.(°C)\",\"Temp min.(°C)\"\n" +
				"\"-70,5\",\"47,5\",\"INVENTÉE\",\"7000000\",\"2020-01-02\",\"2,5\",\"-1,5\"\n",
			want: []one{{"7000000", "2020-01-02", weather.TMax, 2.5, false}, {"7000000", "2020-01-02", weather.TMin, -1.5, false}}},
		{name: "web export, days rewritten by an office program", layout: "NOAA web export", options: Options{Unit: C},
			text: "STATION,NAME,DATE,TMAX,TMIN\nZZ000000001,\"INVENTED, ZZ\",2/1/2020,2.5,-1.5\nZZ000000001,\"INVENTED, ZZ\",2/13/2020,,\n",
			want: []one{{"ZZ000000001", "2020-02-01", weather.TMax, 2.5, false}, {"ZZ000000001", "2020-02-01", weather.TMin, -1.5, false}}},
		{name: "GSOD", layout: "NOAA GSOD by-station CSV",
			text: `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TEMP","TEMP_ATTRIBUTES","DEWP","DEWP_ATTRIBUTES","SLP","SLP_ATTRIBUTES","STP","STP_ATTRIBUTES","VISIB","VISIB_ATTRIBUTES","WDSP","WDSP_ATTRIBUTES","MXSPD","GUST","MAX","MAX_ATTRIBUTES","MIN","MIN_ATTRIBUTES","PRCP","PRCP_ATTRIBUTES","SNDP","FRSHTT"` + "\n" +
				`"99999900001","2021-05-01","45.0","7.0","250.0","INVENTED, ZZ","  50.0","24","  41.0","24","9999.9"," 0","999.9"," 0","999.9"," 0"," 10.0","24"," 12.0","999.9","  68.0"," ","  32.0","*"," 1.00","G","999.9","000000"` + "\n" +
				`"99999900001","2021-05-02","45.0","7.0","250.0","INVENTED, ZZ","9999.9","24","  41.0","24","9999.9"," 0","999.9"," 0","999.9"," 0","999.9","24"," 12.0","999.9","9999.9"," ","9999.9"," ","99.99"," ","999.9","000000"` + "\n",
			want: []one{
				{"99999900001", "2021-05-01", weather.TMax, 20, false}, {"99999900001", "2021-05-01", weather.TMin, 0, false},
				{"99999900001", "2021-05-01", weather.TMean, 10, false}, {"99999900001", "2021-05-01", weather.Rain, 25.4, false},
				{"99999900001", "2021-05-01", weather.Wind, 18520.0 / 3600, false},
			}},
		{name: "ECA&D", layout: "ECA&D daily",
			text: "EUROPEAN CLIMATE ASSESSMENT & DATASET (ECA&D), file created on: 01-01-2024\nTHESE DATA CAN BE USED FREELY\n\n" +
				"This is the blended series of station INVENTED, ZZ (STAID: 12)\n\nSTAID, SOUID,    DATE,   TX, Q_TX\n" +
				"    12,100001,19010101,  -32,    0\n    12,100001,19010102,  -99,    1\n    12,100001,19010103,-9999,    9\n",
			want: []one{{"12", "1901-01-01", weather.TMax, -3.2, false}, {"12", "1901-01-02", weather.TMax, -9.9, true}}},
		{name: "ECA&D, not blended", layout: "ECA&D daily",
			text: "This is the series of station INVENTED, ZZ (STAID: 12)\n\nSOUID,    DATE,   TN, Q_TN\n100002,19010101,  -99,    0\n",
			want: []one{{"12", "1901-01-01", weather.TMin, -9.9, false}}},
		{name: "grid points told apart by place", layout: "NASA POWER daily",
			text: "LAT,LON,YEAR,MO,DY,T2M_MAX\n45.5,7.5,2020,1,1,5\n46.0,7.5,2020,1,1,-999\n46.0,7.5,2020,1,2,6\n",
			want: []one{{"45.5,7.5", "2020-01-01", weather.TMax, 5, false}, {"46.0,7.5", "2020-01-02", weather.TMax, 6, false}}},
		{name: "DWD before 2016", layout: "DWD daily KL",
			text: "STATIONS_ID; MESS_DATUM;QUALITAETS_NIVEAU; LUFTTEMPERATUR;LUFTTEMPERATUR_MAXIMUM;LUFTTEMPERATUR_MINIMUM;eor\n 44;19710101;5;-9.4;-6.2;-999;eor\n",
			want: []one{{"00044", "1971-01-01", weather.TMax, -6.2, false}, {"00044", "1971-01-01", weather.TMean, -9.4, false}}},
		{name: "PRISM", layout: "PRISM point",
			text: "PRISM Time Series Data\nLocation:  Lat: 44.5000   Lon: -123.2500   Elev: 100ft\nClimate variables: ppt,tmin,tmax\n" +
				"Date,ppt (inches),tmin (degrees F),tmax (degrees F)\n2020-01-01,0.50,32.0,50.0\n",
			want: []one{
				{"PRISM 44.5000,-123.2500", "2020-01-01", weather.TMax, 10, false}, {"PRISM 44.5000,-123.2500", "2020-01-01", weather.TMin, 0, false},
				{"PRISM 44.5000,-123.2500", "2020-01-01", weather.Rain, 12.7, false},
			}},
		{name: "MeteoSwiss open data", layout: "MeteoSwiss open data daily",
			text: "station_abbr;reference_timestamp;tre200d0;tre200dx;tre200dn;rre150d0\nZZZ;01.02.1864 00:00;1.5;-;-2.5;0.3\n",
			want: []one{{"ZZZ", "1864-02-01", weather.TMin, -2.5, false}, {"ZZZ", "1864-02-01", weather.TMean, 1.5, false}, {"ZZZ", "1864-02-01", weather.Rain, 0.3, false}}},
		{name: "NASA POWER, day of year", layout: "NASA POWER daily",
			text: "-BEGIN HEADER-\nLocation: Latitude  1.0\n-END HEADER-\nYEAR,DOY,T2M_MAX,T2M_MIN\n2020,60,5.5,-999\n2020,366,6.5,1\n",
			want: []one{{"f", "2020-02-29", weather.TMax, 5.5, false}, {"f", "2020-12-31", weather.TMax, 6.5, false}, {"f", "2020-12-31", weather.TMin, 1, false}}},
		{name: "plain", text: "date,tmin,tmax\n2020-01-01,-1.5,2\n", want: plainDay("2020-01-01", -1.5, 2)},
		{name: "names with units", text: "Day,Max Temp (°F),Min Temp (°F)\n2020-01-01,50,32\n", want: plainDay("2020-01-01", 0, 10)},
		{name: "unit in the name", text: "date,tmax_f,tmin_f\n2020-01-01,50,32\n", want: plainDay("2020-01-01", 0, 10)},
		{name: "Latin-1 header", text: "Datum;TMax (\xb0C);TMin (\xb0C)\n1.2.2020;2,5;-1,5\n", want: plainDay("2020-02-01", -1.5, 2.5)},
		{name: "tab and decimal comma", text: "date\ttmin\ttmax\n2020/1/2\t-1,5\t2,5\n", want: plainDay("2020-01-02", -1.5, 2.5)},
		{name: "quoted decimal comma", text: "date,tmin,tmax\n2020-01-02,\"-1,5\",\"2,5\"\n", want: plainDay("2020-01-02", -1.5, 2.5)},
		{name: "year, month, day", text: "year,month,day,low,high\n2020,2,29,1,2\n", want: plainDay("2020-02-29", 1, 2)},
		{name: "year and day of year", text: "year,doy,tmin,tmax\n2020,366,1,2\n", want: plainDay("2020-12-31", 1, 2)},
		{name: "bare CR", text: "date,tmin,tmax\r2020-01-01,1,2\r", want: plainDay("2020-01-01", 1, 2)},
		{name: "CRLF and a mark", text: "\xef\xbb\xbfdate,tmin,tmax\r\n2020-01-01,1,2\r\n", want: plainDay("2020-01-01", 1, 2)},
		{name: "UTF-16", text: inUTF16("date,tmin,tmax\n2020-01-01,1,2\n"), want: plainDay("2020-01-01", 1, 2)},
		{name: "gzip", text: zipped("date,tmin,tmax\n2020-01-01,1,2\n"), want: plainDay("2020-01-01", 1, 2)},
		{name: "day first, told by a later line", text: "date,tmin,tmax\n01/02/2020,1,2\n13/02/2020,,\n", want: plainDay("2020-02-01", 1, 2)},
		{name: "month first, told by a later line", text: "date,tmin,tmax\n02/01/2020,1,2\n02/13/2020,,\n", want: plainDay("2020-02-01", 1, 2)},
		{name: "month by name", text: "date,tmin,tmax\n1-Feb-2020,1,2\n", want: plainDay("2020-02-01", 1, 2)},
		{name: "time of day is let go", text: "date,tmin,tmax\n2020-02-01T00:00:00Z,1,2\n", want: plainDay("2020-02-01", 1, 2)},
		{name: "words for missing", text: "date,tmin,tmax\n2020-02-01,1,2\n2020-02-02,NA,M\n2020-02-03,-9999,999.9\n2020-02-04,,-\n", want: plainDay("2020-02-01", 1, 2)},
		{name: "columns by name", layout: "CSV with named columns", text: "when,min of the shed,low,hi\n2020-02-01,50,1,2\n",
			options: Options{Columns: Columns{Date: "when", TMin: "low", TMax: "HI"}}, want: plainDay("2020-02-01", 1, 2)},
		{name: "the user's minimum beats a common name", text: "date,tmin,shed,tmax\n2020-02-01,50,1,2\n",
			options: Options{Columns: Columns{TMin: "shed"}}, layout: "CSV with named columns", want: plainDay("2020-02-01", 1, 2)},
		{name: "tenths as told", text: "date,tmin,tmax\n2020-02-01,-99,25\n", options: Options{Unit: TenthsC}, want: plainDay("2020-02-01", -9.9, 2.5)},
		{name: "°F as told", text: "date,tmin,tmax\n2020-02-01,14,50\n", options: Options{Unit: F}, want: plainDay("2020-02-01", -10, 10)},
		{name: "files joined", text: "date,tmin,tmax\n2020-02-01,1,2\ndate,tmin,tmax\n", want: plainDay("2020-02-01", 1, 2)},
		{name: "a title above the header", text: "Our own garden\n\ndate,tmin,tmax\n2020-02-01,1,2\n", want: plainDay("2020-02-01", 1, 2)},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, got, faults := readings(t, "f.csv", []byte(c.text), c.options)
			require.Empty(t, faults)
			if c.layout == "" {
				c.layout = "CSV with a header"
			}
			require.Equal(t, c.layout, f.Layout())
			require.Len(t, got, len(c.want))
			for i, w := range c.want {
				g := got[i]
				if g.Element != w.element && len(got) == 2 {
					g = got[1-i]
				}
				require.Equal(t, w.station, g.Station)
				require.Equal(t, w.date, g.Date.String())
				require.Equal(t, w.element, g.Element)
				require.InDelta(t, w.value, g.Value, 1e-9)
				require.Equal(t, w.rejected, g.Flags&weather.Rejected != 0)
			}
		})
	}
}

func plainDay(date string, low, high float64) []one {
	return []one{{"f", date, weather.TMax, high, false}, {"f", date, weather.TMin, low, false}}
}

func inUTF16(s string) string {
	out := []byte{0xff, 0xfe}
	for _, c := range utf16.Encode([]rune(s)) {
		out = append(out, byte(c), byte(c>>8))
	}
	return string(out)
}

func zipped(s string) string {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write([]byte(s)); err != nil {
		return err.Error()
	}
	if err := w.Close(); err != nil {
		return err.Error()
	}
	return b.String()
}

// year writes a CSV of a whole year with the same extremes scaled by hand.
func year(low, high func(day int) string) string {
	var b strings.Builder
	b.WriteString("date,tmin,tmax\n")
	for i := range 365 {
		fmt.Fprintf(&b, "%s,%s,%s\n", mustCivil(2021, 1, 1)+date(i), low(i), high(i))
	}
	return b.String()
}

// TestUnitOfPlainFile refuses what cannot be °C and says which unit it seems.
func TestUnitOfPlainFile(t *testing.T) {
	season := func(add, step float64) func(int) string {
		return func(i int) string {
			d := float64(min(i, 364-i)) / 182 // 0 in winter, 1 in summer
			return fmt.Sprintf("%.0f", add+step*d)
		}
	}
	for _, c := range []struct {
		name, text, mend string
	}{
		{"°C", year(season(-5, 20), season(2, 28)), ""},
		{"hot °C", year(season(10, 20), season(24, 22)), ""}, // Jacobabad, Pakistan: normals 8..30 and 23..44 °C (from memory)
		{"°F", year(season(23, 36), season(36, 50)), "use --unit F"},
		{"cool °F", year(season(20, 20), season(36, 23)), "use --unit F"},
		{"tenths", year(season(-50, 200), season(20, 280)), "use --unit tenths"},
		{"kelvin", year(season(268, 20), season(275, 28)), "kelvin"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Open(strings.NewReader(c.text), Options{Name: "f.csv"})
			if c.mend == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorContains(t, err, "f.csv")
			require.ErrorContains(t, err, c.mend)
		})
	}
}

// TestUnitThatCannotBe refuses a unit that the values deny.
func TestUnitThatCannotBe(t *testing.T) {
	mild := year(func(i int) string { return fmt.Sprintf("%d.5", i%20-5) }, func(i int) string { return fmt.Sprintf("%d.5", i%20+16) })
	for unit, mend := range map[Unit]string{C: "", F: "use --unit C", TenthsC: "use --unit C or --unit F"} {
		_, err := Open(strings.NewReader(mild), Options{Name: "f.csv", Unit: unit})
		if mend == "" {
			require.NoError(t, err)
			continue
		}
		require.ErrorContains(t, err, "f.csv: the temperatures cannot be "+unit.String())
		require.ErrorContains(t, err, mend)
	}
}

// TestUnitOfWebExport takes the unit from the values where header and layout
// leave it open. The °F and °C of one and the same place are the same days.
func TestUnitOfWebExport(t *testing.T) {
	export := func(form string, of func(c float64) float64) string {
		var b strings.Builder
		b.WriteString(`"STATION","NAME","DATE","PRCP","TMAX","TMIN"` + "\n")
		for i := range 400 {
			c := -8 + 30*float64(i%200)/200
			fmt.Fprintf(&b, `"ZZ000000001","INVENTED","%s","1.00","`+form+`","`+form+`"`+"\n", mustCivil(2021, 1, 1)+date(i), of(c+8), of(c))
		}
		return b.String()
	}
	for _, c := range []struct {
		name, text string
		rain       float64
	}{
		{"°F", export("%.0f", func(c float64) float64 { return c*1.8 + 32 }), 25.4},
		{"°C", export("%.1f", same), 1},
		{"tenths", export("%.0f", func(c float64) float64 { return c * 10 }), 0.1},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, got, faults := readings(t, "export.csv", []byte(c.text), Options{})
			require.Empty(t, faults)
			require.Contains(t, strings.Join(f.Notes(), "\n"), "the unit is not in the file; read as "+c.name)
			for _, r := range got {
				switch i := int(r.Date - mustCivil(2021, 1, 1)); r.Element {
				case weather.TMin:
					require.InDelta(t, -8+30*float64(i%200)/200, r.Value, 0.3) // half a °F
				case weather.Rain:
					require.InDelta(t, c.rain, r.Value, 1e-9)
				}
			}
		})
	}
	cool := export("%.1f", func(c float64) float64 { return math.Round(c) }) // whole °C, printed 24.0
	f, _, _ := readings(t, "export.csv", []byte(cool), Options{})
	require.Contains(t, f.Notes()[0], "read as °C")
	_, got, _ := readings(t, "export.csv", []byte(export("%.1f", same)), Options{Unit: F})
	require.InDelta(t, (0.0-32)/1.8, got[0].Value, 1e-9, "the user's word stands")
}

func TestHoursNeedADay(t *testing.T) {
	write := func(lon string, hours int) string {
		var b strings.Builder
		fmt.Fprintf(&b, "latitude,longitude,elevation,utc_offset_seconds\n35.0,%s,10,0\n\ntime,temperature_2m (°C)\n", lon)
		for h := range hours {
			fmt.Fprintf(&b, "2024-05-%02dT%02d:00,%d\n", 1+h/24, h%24, h)
		}
		return b.String()
	}
	dates := func(text string) (out []string) {
		_, got, faults := readings(t, "h.csv", []byte(text), Options{})
		require.Empty(t, faults)
		for _, r := range got {
			if r.Element == weather.TMax {
				out = append(out, fmt.Sprint(r.Date, " ", r.Value))
			}
		}
		return out
	}
	require.Equal(t, []string{"2024-05-01 23"}, dates(write("0", 45)), "21 hours of the second day are too few")
	require.Equal(t, []string{"2024-05-01 23", "2024-05-02 45"}, dates(write("0", 46)))
	// At 135° east the sun is nine hours ahead: local 2 May is hours 15..38.
	require.Equal(t, []string{"2024-05-02 38"}, dates(write("135", 48)))
}

func TestNamesAreText(t *testing.T) {
	for in, want := range map[string]string{
		"M\xfcnchen":                "München",
		"München":                   "München",
		"a\x1b[2Jb":                 "a[2Jb",
		"a\u202eb\u0085\x7f\x00\tc": "abc",
	} {
		require.Equal(t, want, text([]byte(in)))
	}
}
