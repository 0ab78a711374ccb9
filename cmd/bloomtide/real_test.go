package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bloomtide/forecast/ical"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// seattle are the arguments of a plan from real days: Seattle-Tacoma 2012 to
// 2015, from the npm package vega-datasets 3.2.1 (BSD-3-Clause), which took
// them from NOAA. Place: Seattle, to a tenth of a degree.
func seattle(t *testing.T) []string {
	t.Helper()
	t.Chdir(filepath.Join("..", ".."))
	return []string{"--weather", "testdata/seattle-weather.csv", "--lat", "47.6", "--lon", "-122.3", "--issue", "2015-03-15"}
}

func TestSeattleJSON(t *testing.T) {
	d := planned(t, seattle(t)...)
	require.Equal(t, "2015-03-15", d.IssueDate.String())
	require.Equal(t, 2012, d.Members.First, "the record begins on 2012-01-01")
	require.Equal(t, 2014, d.Members.Last, "2015 is not over on the issue date")
	require.InDelta(t, 47.6, *d.Place.Lat, 1e-9)
	require.InDelta(t, -122.3, *d.Place.Lon, 1e-9)
	require.False(t, d.Place.Invented)
	require.GreaterOrEqual(t, len(d.kinds()), 12)
	require.NotEmpty(t, d.Blooms)
	require.NotEmpty(t, d.Warnings, "three years make rough odds")
	start := *d.mainFlow(t).Start.Likely
	require.GreaterOrEqual(t, start, weather.YearMonthDay(2015, time.March, 1))
	require.Less(t, start, weather.YearMonthDay(2015, time.September, 1))
}

// The other forms hold the same tasks as the JSON document.
func TestSeattleInEveryForm(t *testing.T) {
	args := seattle(t)
	d := planned(t, args...)
	want := map[string]weather.Date{}
	for _, k := range d.Tasks {
		want[k.UID] = k.Likely
	}

	table := invoke(t, append([]string{"plan"}, args...)...)
	require.Equal(t, outcome{code: exitDone, stdout: table.stdout}, table)
	require.Contains(t, table.stdout, "hive plan of Sun 15 Mar 2015")
	require.Contains(t, table.stdout, "each of 3 past years")

	sheet := invoke(t, append([]string{"plan", "--format", "csv"}, args...)...)
	require.Equal(t, outcome{code: exitDone, stdout: sheet.stdout}, sheet)
	rows, err := csv.NewReader(strings.NewReader(sheet.stdout)).ReadAll()
	require.NoError(t, err)
	got := map[string]weather.Date{}
	for _, r := range rows[1:] {
		likely, err := weather.ParseDate(r[5])
		require.NoError(t, err)
		got[r[10]] = likely
	}
	require.Equal(t, want, got)

	calendar := invoke(t, append([]string{"plan", "--format", "ical"}, args...)...)
	require.Equal(t, outcome{code: exitDone, stdout: calendar.stdout}, calendar)
	events, err := ical.ReadPublished(strings.NewReader(calendar.stdout))
	require.NoError(t, err)
	got = map[string]weather.Date{}
	for uid, e := range events {
		require.Equal(t, e.Day+1, e.End, uid)
		got[uid] = e.Day
	}
	require.Equal(t, want, got)
}

// station is a published record under ../shared/data/formats, with the place
// for those whose files do not tell it, by the publisher's list of stations.
type station struct {
	file  string // or folder
	place string // picks one of several stations
	lat   string
	issue string
	years int // members at least
}

// north holds records of ten and more stations from Japan to Canada.
func north() []station {
	return []station{
		{"ghcn-access/JA000047759.csv", "", "", "2020-03-01", 30},                                            // Kyoto
		{"ghcn-dly/CA006105976.dly", "", "45.38", "2020-03-01", 30},                                          // Ottawa
		{"cdo-export/tinius_dc_temps_celsius.csv", "", "38.85", "2020-03-01", 30},                            // Washington DC
		{"cdo-export/springfreeze_Newport.csv", "NEWPORT", "43.4", "2014-03-01", 20},                         // New Hampshire
		{"cdo-export/springfreeze_Newport.csv", "RENNES", "48.1", "2014-03-01", 20},                          // Brittany
		{"cdo-export/springfreeze_midwest.csv", "", "44.5", "2014-03-01", 20},                                // northern United States
		{"daymet/daymetr_demo_data.csv", "", "", "2009-03-01", 8},                                            // Tennessee
		{"dwd-kl/r-work_data_00433-historical.txt", "", "52.47", "2018-03-01", 30},                           // Berlin
		{"dwd-kl/r-work_data_04271-historical.txt", "", "54.18", "2018-03-01", 30},                           // Rostock
		{"knmi/etmgeg_257.txt", "", "52.51", "2024-03-01", 20},                                               // Wijk aan Zee
		{"meteoswiss/nbcn_D_historical_BAS.csv", "", "47.54", "2020-03-01", 30},                              // Basel
		{"nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv", "", "", "2020-02-01", 20}, // Punjab
	}
}

// recordOf returns the arguments for a station, or skips where the shared
// data are not there.
func recordOf(t *testing.T, s station) []string {
	t.Helper()
	file := filepath.Join("..", "..", "..", "shared", "data", "formats", filepath.FromSlash(s.file))
	if _, err := os.Stat(file); err != nil {
		t.Skip("the published records are not beside this repository: " + s.file)
	}
	args := []string{"--weather", file, "--issue", s.issue}
	if s.lat != "" {
		args = append(args, "--lat", s.lat)
	}
	if s.place != "" {
		args = append(args, "--place", s.place)
	}
	return args
}

// In the temperate north the main flow begins after the equinox of spring and
// before that of autumn, in warm plains from March on; everywhere the bees
// close up for winter after it. Common practice, no source.
func TestNorthernStations(t *testing.T) {
	for _, s := range north() {
		t.Run(s.file+s.place, func(t *testing.T) {
			d := planned(t, recordOf(t, s)...)
			require.GreaterOrEqual(t, d.Members.Count, s.years)
			require.GreaterOrEqual(t, len(d.kinds()), 12)
			f := d.mainFlow(t)
			year := d.IssueDate.Year()
			start := *f.Start.Likely
			require.GreaterOrEqual(t, start, weather.YearMonthDay(year, time.March, 1), "%s", start)
			require.Less(t, start, weather.YearMonthDay(year, time.September, 1), "%s", start)
			inOrder(t, d)
		})
	}
}

// In Sydney spring begins in September: the main flow of the season comes
// between August and January. Bureau of Meteorology, Observatory Hill.
func TestSouthernStation(t *testing.T) {
	s := station{file: "bom", lat: "-33.86", issue: "2012-07-01", years: 30}
	d := planned(t, append(recordOf(t, s), "--lon", "151.2")...)
	require.GreaterOrEqual(t, d.Members.Count, s.years)
	start := *d.mainFlow(t).Start.Likely
	require.GreaterOrEqual(t, start, weather.YearMonthDay(2012, time.August, 1), "%s", start)
	require.Less(t, start, weather.YearMonthDay(2013, time.February, 1), "%s", start)
	inOrder(t, d)
	for _, k := range d.Tasks { // no winter closes a hive in Sydney
		require.NotContains(t, []string{"winter-closed", "winter-hefting", "last-frames", "last-syrup", "spring-stores-check"}, k.Kind)
	}
}

// inOrder holds the order of work in the season of the first main flow.
func inOrder(t *testing.T, d document) {
	t.Helper()
	year := d.mainFlow(t).Year
	at := map[string]weather.Date{}
	for _, k := range d.Tasks {
		if k.Year == year && k.N == 1 {
			at[k.Kind] = k.Likely
		}
	}
	for _, pair := range [][2]string{
		{"build-up", "super-on"}, {"excluder-on", "super-on"}, {"super-on", "harvest"}, {"harvest", "supers-off"},
		{"supers-off", "last-syrup"}, {"autumn-stores-check", "last-syrup"}, {"last-syrup", "winter-closed"},
	} {
		a, okA := at[pair[0]]
		b, okB := at[pair[1]]
		if okA && okB {
			require.LessOrEqual(t, a, b, "%s before %s", pair[0], pair[1])
		}
	}
	require.Contains(t, at, "super-on")
	require.Contains(t, at, "harvest")
}
