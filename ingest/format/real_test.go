package format

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// The check values of this file come from the published files themselves by an
// independent path: encoding/csv, strconv and package time, with the columns
// and units that the publisher documents, and nothing of this package.

// cellKey names one value.
type cellKey struct {
	station, date string
	element       weather.Element
}

// truth is what a file holds: the value, and whether its publisher rejects it.
type truth map[cellKey]struct {
	value    float64
	rejected bool
}

// outside describes a delimited file to the independent path.
type outside struct {
	file    string // in the shared folder
	cut     string // the piece of it in testdata, if there is one
	layout  string
	delim   rune
	header  string // how the header line begins, spaces trimmed
	station string // column of the station, or =ID
	prefix  string // to cut off the station, or 0 to pad it to five digits
	date    []string
	form    string // time layout of the date
	columns map[weather.Element]string
	scale   func(float64) float64
	rain    string // column of rain, if checked
	wet     func(float64) float64
	missing []string
	quality string // suffix of the flag column
	reject  func(string) bool
}

func same(v float64) float64   { return v }
func tenths(v float64) float64 { return v / 10 }
func fromF(v float64) float64  { return (v - 32) * 5 / 9 }

func extremes(max, min string) map[weather.Element]string {
	return map[weather.Element]string{weather.TMax: max, weather.TMin: min}
}

var outsideFiles = []outside{
	{file: "ghcn-access/JA000047759.csv", cut: "ghcn-access/JA000047759.csv", layout: "GHCN-Daily by-station CSV", delim: ',', header: `"STATION"`, station: "STATION",
		date: []string{"DATE"}, form: "2006-01-02", columns: extremes("TMAX", "TMIN"), scale: tenths, rain: "PRCP", wet: tenths, quality: "_ATTRIBUTES",
		reject: func(s string) bool { p := strings.Split(s, ","); return len(p) > 1 && p[1] != "" }},
	{file: "cdo-export/pcc2e_sitka_weather_2018_full.csv", cut: "cdo-export/sitka-f.csv", layout: "NOAA web export", delim: ',', header: `"STATION"`, station: "STATION",
		date: []string{"DATE"}, form: "2006-01-02", columns: extremes("TMAX", "TMIN"), scale: fromF,
		rain: "PRCP", wet: func(v float64) float64 { return v * 25.4 }},
	{file: "cdo-export/pcc3e_death_valley_2021_simple.csv", cut: "cdo-export/death-valley-f.csv", layout: "NOAA web export", delim: ',', header: `"STATION"`, station: "STATION",
		date: []string{"DATE"}, form: "2006-01-02", columns: extremes("TMAX", "TMIN"), scale: fromF},
	{file: "cdo-export/tinius_dc_temps_celsius.csv", cut: "cdo-export/washington-c.csv", layout: "NOAA web export", delim: ',', header: `"STATION"`, station: "STATION",
		date: []string{"DATE"}, form: "2006-01-02", columns: extremes("TMAX", "TMIN"), scale: same},
	{file: "cdo-export/springfreeze_Newport.csv", cut: "cdo-export/newport-rennes-old.csv", layout: "NOAA web export", delim: ',', header: "STATION", station: "STATION", prefix: "GHCND:",
		date: []string{"DATE"}, form: "20060102", columns: extremes("TMAX", "TMIN"), scale: same, missing: []string{"-9999"}},
	{file: "cdo-export/springfreeze_midwest.csv", layout: "NOAA web export", delim: ',', header: "STATION", station: "STATION", prefix: "GHCND:",
		date: []string{"DATE"}, form: "20060102", columns: extremes("TMAX", "TMIN"), scale: same, missing: []string{"-9999"}},
	{file: "dwd-kl/r-work_data_00433-historical.txt", cut: "dwd-kl/00433-historical.txt", layout: "DWD daily KL", delim: ';', header: "STATIONS_ID", station: "STATIONS_ID", prefix: "0",
		date: []string{"MESS_DATUM"}, form: "20060102", columns: extremes("TXK", "TNK"), scale: same, rain: "RSK", wet: same, missing: []string{"-999"}},
	{file: "dwd-kl/r-work_data_00433-recent.txt", layout: "DWD daily KL", delim: ';', header: "STATIONS_ID", station: "STATIONS_ID", prefix: "0",
		date: []string{"MESS_DATUM"}, form: "20060102", columns: extremes("TXK", "TNK"), scale: same, rain: "RSK", wet: same, missing: []string{"-999"}},
	{file: "dwd-kl/r-work_data_04271-historical.txt", layout: "DWD daily KL", delim: ';', header: "STATIONS_ID", station: "STATIONS_ID", prefix: "0",
		date: []string{"MESS_DATUM"}, form: "20060102", columns: extremes("TXK", "TNK"), scale: same, rain: "RSK", wet: same, missing: []string{"-999"}},
	{file: "dwd-kl/r-work_data_04271-recent.txt", layout: "DWD daily KL", delim: ';', header: "STATIONS_ID", station: "STATIONS_ID", prefix: "0",
		date: []string{"MESS_DATUM"}, form: "20060102", columns: extremes("TXK", "TNK"), scale: same, rain: "RSK", wet: same, missing: []string{"-999"}},
	{file: "eccc/en_climate_daily_BC_1054503_2017_P1D.csv", cut: "eccc/1054503-2017.csv", layout: "Environment Canada daily CSV", delim: ',', header: `"Longitude`, station: "Climate ID",
		date: []string{"Date/Time"}, form: "2006-01-02", columns: extremes("Max Temp (°C)", "Min Temp (°C)"), scale: same},
	{file: "eccc/en_climate_daily_BC_1054503_2018_P1D.csv", layout: "Environment Canada daily CSV", delim: ',', header: `"Longitude`, station: "Climate ID",
		date: []string{"Date/Time"}, form: "2006-01-02", columns: extremes("Max Temp (°C)", "Min Temp (°C)"), scale: same},
	{file: "eccc/en_climate_daily_BC_1163781_2018_P1D.csv", layout: "Environment Canada daily CSV", delim: ',', header: `"Longitude`, station: "Climate ID",
		date: []string{"Date/Time"}, form: "2006-01-02", columns: extremes("Max Temp (°C)", "Min Temp (°C)"), scale: same},
	{file: "eccc/en_climate_daily_ON_6104025_1928_P1D.csv", layout: "Environment Canada daily CSV", delim: ',', header: `"Longitude`, station: "Climate ID",
		date: []string{"Date/Time"}, form: "2006-01-02", columns: extremes("Max Temp (°C)", "Min Temp (°C)"), scale: same},
	{file: "knmi/etmgeg_257.txt", cut: "knmi/etmgeg_257.txt", layout: "KNMI daily", delim: ',', header: "# STN", station: "# STN",
		date: []string{"YYYYMMDD"}, form: "20060102", columns: extremes("TX", "TN"), scale: tenths,
		rain: "RH", wet: func(v float64) float64 { return max(v, 0) / 10 }},
	{file: "bom/IDCJAC0010_066062_1800_Data.csv", cut: "bom/IDCJAC0010_066062.csv", layout: "BOM daily maximum", delim: ',', header: "Product code", station: "Bureau of Meteorology station number",
		date: []string{"Year", "Month", "Day"}, form: "2006-01-02",
		columns: map[weather.Element]string{weather.TMax: "Maximum temperature (Degree C)"}, scale: same,
		quality: "=Days of accumulation of maximum temperature", reject: func(s string) bool { return s != "" && s != "1" }},
	{file: "bom/IDCJAC0011_066062_1800_Data.csv", cut: "bom/IDCJAC0011_066062.csv", layout: "BOM daily minimum", delim: ',', header: "Product code", station: "Bureau of Meteorology station number",
		date: []string{"Year", "Month", "Day"}, form: "2006-01-02",
		columns: map[weather.Element]string{weather.TMin: "Minimum temperature (Degree C)"}, scale: same,
		quality: "=Days of accumulation of minimum temperature", reject: func(s string) bool { return s != "" && s != "1" }},
	{file: "daymet/daymet_-84.2625_36.0133_2000_2002.csv", cut: "daymet/daymet_-84.2625_36.0133.csv", layout: "Daymet single pixel", delim: ',', header: "year,yday", station: "=Daymet 36.0133,-84.2625",
		date: []string{"year", "yday"}, form: "2006 002", columns: extremes("tmax (deg c)", "tmin (deg c)"), scale: same, rain: "prcp (mm/day)", wet: same},
	{file: "daymet/daymetr_demo_data.csv", layout: "Daymet single pixel", delim: ',', header: "year,yday", station: "=Daymet 36.0133,-84.2625",
		date: []string{"year", "yday"}, form: "2006 002", columns: extremes("tmax (deg c)", "tmin (deg c)"), scale: same, rain: "prcp (mm/day)", wet: same},
	{file: "nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv", cut: "nasa-power/POWER_032d93N_072d86E.csv", layout: "NASA POWER daily", delim: ',', header: "YEAR,MO,DY",
		station: "=POWER 32.9348,72.8576", date: []string{"YEAR", "MO", "DY"}, form: "2006-1-2",
		columns: map[weather.Element]string{weather.TMax: "T2M_MAX", weather.TMin: "T2M_MIN"}, scale: same, rain: "PRECTOTCORR", wet: same, missing: []string{"-999.0"}},
	{file: "meteoswiss/nbcn_D_historical_BAS.csv", cut: "meteoswiss/nbcn_D_BAS.csv", layout: "MeteoSwiss daily", delim: ';', header: "station;", station: "nat_abbr",
		date: []string{"termin"}, form: "20060102150405", columns: extremes("ths200dx", "ths200dn"), scale: same, missing: []string{"-"}},
	{file: "meteoswiss/nbcn_D_recent_BAS.csv", layout: "MeteoSwiss daily", delim: ';', header: "station;", station: "nat_abbr",
		date: []string{"termin"}, form: "20060102150405", columns: extremes("ths200dx", "ths200dn"), scale: same, missing: []string{"-"}},
	{file: "open-meteo/daily-F-52.55N13.41E38m-first-800-lines.csv", cut: "open-meteo/daily-f.csv", layout: "Open-Meteo daily CSV", delim: ',', header: "time,", station: "=Open-Meteo 52.5483,13.4078",
		date: []string{"time"}, form: "2006-01-02", columns: extremes("temperature_2m_max (°F)", "temperature_2m_min (°F)"), scale: fromF,
		rain: "precipitation_sum (inch)", wet: func(v float64) float64 { return v * 25.4 }},
	{file: "../bloom/daily/prunus-avium-ch-dornach.csv", layout: "CSV with a header", delim: ',', header: "date", station: "=prunus-avium-ch-dornach",
		date: []string{"date"}, form: "2006-01-02", columns: extremes("tmax", "tmin"), scale: same},
	{file: "../bloom/daily/prunus-yedoensis-washington-dc.csv", layout: "CSV with a header", delim: ',', header: "date", station: "=prunus-yedoensis-washington-dc",
		date: []string{"date"}, form: "2006-01-02", columns: extremes("tmax", "tmin"), scale: same},
	{file: "seattle-weather.csv", cut: "../seattle-weather.csv", layout: "CSV with a header", delim: ',', header: "date", station: "=seattle-weather",
		date: []string{"date"}, form: "2006-01-02", columns: extremes("temp_max", "temp_min"), scale: same, rain: "precipitation", wet: same},
}

// shared opens a file of the shared folder, or skips.
func shared(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "data", "formats", filepath.FromSlash(name)))
	if err != nil {
		t.Skipf("no shared data beside the project: %v", err)
	}
	return b
}

// read takes a delimited file apart without this package.
func (o outside) read(t *testing.T, b []byte) truth {
	t.Helper()
	b = bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))
	sc := bufio.NewScanner(bytes.NewReader(b))
	var body strings.Builder
	begun := false
	for sc.Scan() {
		begun = begun || strings.HasPrefix(sc.Text(), o.header)
		if begun {
			fmt.Fprintln(&body, sc.Text())
		}
	}
	require.NoError(t, sc.Err())
	r := csv.NewReader(strings.NewReader(body.String()))
	r.Comma, r.TrimLeadingSpace, r.FieldsPerRecord = o.delim, true, -1
	head, err := r.Read()
	require.NoError(t, err)
	at := map[string]int{}
	for i, h := range head {
		at[strings.TrimSpace(h)] = i
	}
	out := truth{}
	for {
		rec, err := r.Read()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		if len(rec) != len(head) { // the cut last line of one file
			continue
		}
		o.record(t, rec, at, out)
	}
}

func (o outside) record(t *testing.T, rec []string, at map[string]int, out truth) {
	t.Helper()
	station, fixed := strings.CutPrefix(o.station, "=")
	if !fixed {
		station = strings.TrimSpace(rec[at[o.station]])
	}
	if o.prefix == "0" {
		station = fmt.Sprintf("%05s", station)
	} else {
		station = strings.TrimPrefix(station, o.prefix)
	}
	date := o.day(t, rec, at)
	columns := maps.Clone(o.columns)
	if o.rain != "" {
		columns[weather.Rain] = o.rain
	}
	for e, name := range columns {
		i, ok := at[name]
		require.True(t, ok, name)
		cell := strings.TrimSpace(rec[i])
		skip := cell == ""
		for _, m := range o.missing {
			skip = skip || cell == m
		}
		if skip {
			continue
		}
		v, err := strconv.ParseFloat(cell, 64)
		require.NoError(t, err)
		if e == weather.Rain {
			v = o.wet(v)
		} else {
			v = o.scale(v)
		}
		rejected := false
		if o.quality != "" {
			q, fixed := strings.CutPrefix(o.quality, "=")
			if !fixed {
				q = name + o.quality
			}
			rejected = o.reject(strings.TrimSpace(rec[at[q]]))
		}
		out[cellKey{station, date, e}] = struct {
			value    float64
			rejected bool
		}{v, rejected}
	}
}

func (o outside) day(t *testing.T, rec []string, at map[string]int) string {
	t.Helper()
	var parts []string
	for _, d := range o.date {
		parts = append(parts, strings.TrimSuffix(strings.TrimSpace(rec[at[d]]), ".0"))
	}
	s := strings.Join(parts, "-")
	if o.form == "2006 002" {
		n, err := strconv.Atoi(parts[1])
		require.NoError(t, err)
		s = fmt.Sprintf("%s %03d", parts[0], n)
	}
	day, err := time.Parse(o.form, s)
	require.NoError(t, err)
	return day.Format(time.DateOnly)
}

// readings drains a file.
func readings(t testing.TB, name string, b []byte, o Options) (f *File, out []weather.Reading, faults []error) {
	t.Helper()
	o.Name = name
	f, err := Open(bytes.NewReader(b), o)
	require.NoError(t, err)
	for r, err := range f.Readings() {
		if err != nil {
			faults = append(faults, err)
			continue
		}
		out = append(out, r)
	}
	return f, out, faults
}

// compare checks every value of the truth against the readings, and that there
// are no others of the same elements.
func compare(t *testing.T, want truth, got []weather.Reading, elements map[weather.Element]string) {
	t.Helper()
	require.NotEmpty(t, want)
	n := 0
	for _, r := range got {
		if _, ok := elements[r.Element]; !ok {
			continue
		}
		w, ok := want[cellKey{r.Station, r.Date.String(), r.Element}]
		require.True(t, ok, "%+v is not in the file", r)
		require.InDelta(t, w.value, r.Value, 1e-9, "%s %s %s", r.Station, r.Date, r.Element)
		require.Equal(t, w.rejected, r.Flags&weather.Rejected != 0, "%s %s", r.Date, r.Element)
		n++
	}
	require.Equal(t, len(want), n)
}

// TestRealFiles checks the files that do not lie in the folder of formats,
// which TestEveryFile walks.
func TestRealFiles(t *testing.T) {
	for _, o := range outsideFiles {
		if !strings.HasPrefix(o.file, "..") {
			continue
		}
		t.Run(filepath.Base(o.file), func(t *testing.T) { o.check(t, shared(t, o.file)) })
	}
}

// TestPieces does the same with the pieces that the project carries.
func TestPieces(t *testing.T) {
	for _, o := range outsideFiles {
		if o.cut == "" {
			continue
		}
		t.Run(o.cut, func(t *testing.T) {
			b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "format", filepath.FromSlash(o.cut)))
			require.NoError(t, err)
			o.check(t, b)
		})
	}
}

func (o outside) check(t *testing.T, b []byte) (truth, []weather.Reading) {
	t.Helper()
	want := o.read(t, b)
	for k, v := range want { // one value of Newport NH is 276.7 °C
		if v.value > float64(weather.Hottest) && k.element != weather.Rain {
			delete(want, k)
		}
	}
	f, got, _ := readings(t, o.file, b, Options{})
	require.Equal(t, o.layout, f.Layout())
	if len(want) == 0 { // one station-year of Langara Island has not begun
		require.Empty(t, got)
		return want, got
	}
	elements := maps.Clone(o.columns)
	if o.rain != "" {
		elements[weather.Rain] = o.rain
	}
	compare(t, want, got, elements)
	return want, got
}

// fixedTruth takes the .dly file apart by columns, as NOAA's readme gives them:
// value at 22+8d, quality flag at 28+8d, counted from 1.
func fixedTruth(t *testing.T, b []byte) truth {
	t.Helper()
	want := truth{}
	for _, line := range strings.Split(strings.TrimSpace(string(b)), "\n") {
		e, ok := map[string]weather.Element{"TMAX": weather.TMax, "TMIN": weather.TMin}[line[17:21]]
		if !ok {
			continue
		}
		for d := range 31 {
			cell := strings.TrimSpace(line[21+8*d : 26+8*d])
			if cell == "-9999" {
				continue
			}
			v, err := strconv.Atoi(cell)
			require.NoError(t, err)
			day, err := time.Parse("20060102", fmt.Sprintf("%s%02d", line[11:17], d+1))
			require.NoError(t, err)
			want[cellKey{line[:11], day.Format(time.DateOnly), e}] = struct {
				value    float64
				rejected bool
			}{float64(v) / 10, len(line) > 27+8*d && line[27+8*d] != ' '}
		}
	}
	return want
}

func fixedWidth(t *testing.T, b []byte) (truth, []weather.Reading) {
	t.Helper()
	want := fixedTruth(t, b)
	f, got, faults := readings(t, "CA006105976.dly", b, Options{})
	require.Empty(t, faults)
	require.Equal(t, "GHCN-Daily fixed width (.dly)", f.Layout())
	compare(t, want, got, extremes("", ""))
	return want, got
}

// hourlyFile describes an hourly file to the independent path.
type hourlyFile struct {
	name, header, station string
	value                 int // column of the temperature
}

var hourlyFiles = []hourlyFile{
	{"open-meteo/open-meteo-hourly-52.50N13.50E38m.csv", "location_id", "open-meteo-hourly-52.50N13.50E38m ", 2},
	{"open-meteo/open-meteo-hourly-C-52.55N13.41E38m.csv", "time,", "Open-Meteo 52.5483,13.4078", 1},
}

// truth makes days of the hours by grouping the lines.
func (h hourlyFile) truth(t *testing.T, b []byte) truth {
	t.Helper()
	_, body, ok := strings.Cut(string(b), h.header)
	require.True(t, ok)
	want := truth{}
	hours := map[cellKey]int{}
	for _, line := range strings.Split(strings.TrimSpace(body), "\n")[1:] {
		f := strings.Split(line, ",")
		id, at := h.station, 0
		if strings.HasSuffix(id, " ") {
			id, at = id+f[0], 1
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(f[h.value]), 64)
		require.NoError(t, err)
		for _, e := range []weather.Element{weather.TMax, weather.TMin} {
			k := cellKey{id, f[at][:10], e}
			w, ok := want[k]
			if !ok || (e == weather.TMax) == (v > w.value) {
				w.value = v
			}
			want[k] = w
			hours[k]++
		}
	}
	for k, n := range hours {
		if n != 24 {
			delete(want, k)
		}
	}
	return want
}

func (h hourlyFile) check(t *testing.T, b []byte) (truth, []weather.Reading) {
	t.Helper()
	want := h.truth(t, b)
	_, got, faults := readings(t, h.name, b, Options{})
	require.Empty(t, faults)
	compare(t, want, got, extremes("", ""))
	return want, got
}

func TestRealZip(t *testing.T) {
	b := shared(t, "dwd-kl/tageswerte_KL_00011_akt.zip")
	f, got, faults := readings(t, "tageswerte_KL_00011_akt.zip", b, Options{})
	require.Empty(t, faults)
	require.Equal(t, "DWD daily KL", f.Layout())
	require.Len(t, f.Sites(), 1)
	// Metadaten_Geographie_00011.txt, last line, by unzip -p.
	require.Equal(t, "Donaueschingen (Landeplatz)", f.Sites()[0].Name)
	require.Equal(t, 680.0, f.Sites()[0].ElevM)
	require.Equal(t, 47.9737, f.Sites()[0].LatDeg())
	// The station measures wind alone: unzip -p and awk find 217 days of FM, the
	// first with 6.2 m/s.
	require.Len(t, got, 217)
	require.Equal(t, 6.2, got[0].Value)
	for _, r := range got {
		require.Equal(t, weather.Wind, r.Element)
	}
}

func TestRealPlaces(t *testing.T) {
	f, got, faults := readings(t, "stations", shared(t, "ghcn-stations/ghcnd-stations-every-60th.txt"), Options{})
	require.Empty(t, faults)
	require.Empty(t, got)
	require.Equal(t, "BATNA", f.Sites()[0].Name)
	require.Equal(t, 35.55, f.Sites()[0].LatDeg())

	f, _, _ = readings(t, "metadata", shared(t, "eccc/en_climate_daily_metadata_BC_1054503.txt"), Options{})
	require.Equal(t, "1054503", f.Sites()[0].ID)
	require.Equal(t, 46.9, f.Sites()[0].ElevM)
}
