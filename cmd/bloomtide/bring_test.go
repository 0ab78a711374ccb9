package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// standIn is an invented station about Linn County, Iowa, whose real position
// is the middle of the county's towns to a tenth of a degree.
type standIn struct {
	id       string
	lat, lon float64
	elevM    float64
	odd      func(i int, low, high *int) // changes tenths of °C on a day
}

// writeStations writes invented stations as by-station files of GHCN-Daily,
// twelve years from 2012 on, each 6.5 K colder for a km of height.
func writeStations(t *testing.T, all ...standIn) string {
	t.Helper()
	dir := t.TempDir()
	for k, s := range all {
		var b strings.Builder
		b.WriteString("\"STATION\",\"DATE\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"NAME\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n")
		for i := range 12 * 365 {
			d := weather.YearMonthDay(2012, 1, 1) + weather.Date(i)
			base := 95 - 140*math.Cos(2*math.Pi*float64(d.DayOfYear()-15)/365.25) + 40*math.Sin(float64(i)*1.3) - 65*s.elevM/1000
			low, high := int(base)-50+(i*(k+3))%5, int(base)+60+(i*(k+5))%7
			if s.odd != nil {
				s.odd(i, &low, &high)
			}
			fmt.Fprintf(&b, "%q,%q,\"%.4f\",\"%.4f\",\"%.1f\",\"%s (INVENTED)\",\"%d\",\",,S\",\"%d\",\",,S\"\n",
				s.id, d, s.lat, s.lon, s.elevM, s.id, high, low)
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, s.id+".csv"), []byte(b.String()), 0o600))
	}
	return dir
}

func linn(t *testing.T) string {
	return writeStations(t,
		standIn{id: "TESTA", lat: 42.0, lon: -91.7, elevM: 250},
		standIn{id: "TESTB", lat: 42.2, lon: -91.6, elevM: 290},
		standIn{id: "TESTC", lat: 41.9, lon: -91.5, elevM: 270, odd: func(i int, _, high *int) {
			if i == 1000 {
				*high += 300
			}
		}},
		standIn{id: "TESTFAR", lat: 35, lon: -80, elevM: 200})
}

// A county is made of the stations about it; one far away plays no part, a
// planted slip is rejected and told, and the error is stated.
func TestCountyFromItsStations(t *testing.T) {
	got := invoke(t, "plan", "--format", "json", "--weather", linn(t), "--county", "Linn, Iowa", "--issue", "2023-03-15")
	require.Equal(t, exitDone, got.code, got.stderr)
	var d struct {
		Place struct {
			Name     string
			Lat, Lon float64
			Stations []struct{ ID string }
		}
		Stations []struct{ ID string }
		Warnings []string
	}
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &d))
	require.Equal(t, "Linn, Iowa", d.Place.Name)
	require.InDelta(t, 42.08, d.Place.Lat, 0.1) // US Census Gazetteer, from memory: 42.08, -91.60
	require.InDelta(t, -91.6, d.Place.Lon, 0.1)
	require.Len(t, append(d.Place.Stations, d.Stations...), 3)
	all := strings.Join(d.Warnings, "\n")
	require.Contains(t, all, "mean of 3 stations")
	require.Contains(t, all, "at a station left out")
	require.Contains(t, all, "checks reject 1 values")
}

// --place still picks one station by its name.
func TestPlacePicksAStation(t *testing.T) {
	got := invoke(t, "plan", "--weather", linn(t), "--county", "19113", "--place", "testb", "--issue", "2023-03-15")
	require.Equal(t, exitDone, got.code, got.stderr)
	require.Contains(t, got.stdout, "Station: TESTB")
	require.NotContains(t, got.stdout, "Station: TESTA")
}

// An outline of one's own serves as a place.
func TestOutlineOfOnesOwn(t *testing.T) {
	dir := linn(t)
	file := filepath.Join(t.TempDir(), "mead.geojson")
	require.NoError(t, os.WriteFile(file, []byte(`{"type":"Feature","properties":{"name":"Willow Mead (invented)","elevation":310},
		"geometry":{"type":"Polygon","coordinates":[[[-91.8,42],[-91.5,42],[-91.5,42.2],[-91.8,42.2],[-91.8,42]]]}}`), 0o600))
	got := invoke(t, "plan", "--weather", dir, "--outline", file, "--issue", "2023-03-15")
	require.Equal(t, exitDone, got.code, got.stderr)
	require.Contains(t, got.stdout, "Willow Mead (invented): hive plan")
	require.Contains(t, got.stdout, "m lower")
	require.NoError(t, os.WriteFile(file, []byte(`{"type":"Polygon","coordinates":[[[500000,1],[2,3],[4,5],[500000,1]]]}`), 0o600))
	got = invoke(t, "plan", "--weather", dir, "--outline", file)
	require.Equal(t, exitUsage, got.code)
	require.Contains(t, got.stderr, "longitude stands first")
}

// check lists the planted slip in every form and counts it.
func TestCheckListsWhatIsOdd(t *testing.T) {
	dir := linn(t)
	table := invoke(t, "check", dir)
	require.Equal(t, exitDone, table.code, table.stderr)
	require.Contains(t, table.stdout, "2014-09-27 TMAX")
	require.Contains(t, table.stdout, "compared with")
	require.Contains(t, table.stdout, "filled from neighbours")
	sheet := invoke(t, "check", dir, "--format", "csv")
	require.Equal(t, 2, strings.Count(sheet.stdout, "\n"), sheet.stdout)
	require.Contains(t, sheet.stdout, "TESTC,2014-09-27,2014-09-27,TMAX,")
	var d checkDocument
	require.NoError(t, json.Unmarshal([]byte(invoke(t, "check", dir, "--format", "json").stdout), &d))
	require.Equal(t, checkSchema, d.Schema)
	require.Len(t, d.Stations, 4)
	require.Contains(t, invoke(t, "check", "--rules").stdout, "Alexandersson 1986")
	require.Equal(t, exitUsage, invoke(t, "check").code)
	require.Equal(t, exitUsage, invoke(t, "check", dir, "--format", "ical").code)
}
