package format

import (
	"strings"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// TestFilesJoined reads files that somebody has put one behind the other, with
// whatever stood above their headers. Values are invented; the layouts are
// those of the tests beside.
func TestFilesJoined(t *testing.T) {
	two := func(a, b string, second float64) []one {
		return []one{
			{a, "2019-02-01", weather.TMax, 15, false}, {a, "2019-02-01", weather.TMin, -2.5, false},
			{b, "2019-02-02", weather.TMax, second, false}, {b, "2019-02-02", weather.TMin, -3.5, false},
		}
	}
	daymet := "Latitude: 36.0  Longitude: -84.0\nX & Y on Lambert Conformal Conic: 1 2\nTile: 11388\nElevation: 279 meters\n"
	canada := `"Station Name","INVENTED"` + "\n" + `"Latitude","44,5"` + "\n" + `"Longitude","-70.0"` + "\n" + `"Climate Identifier","7000000"` + "\n\n" + `"Legend"` + "\n" +
		`"Date/Time","Max Temp (°C)","Max Temp Flag","Min Temp (°C)","Min Temp Flag"` + "\n"
	for _, v := range []variant{
		{name: "other columns", layout: stationName, want: two("ZZ000000001", "ZZ000000002", 16),
			text: `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n" +
				`"ZZ000000001","2019-02-01","44.5","7.0","100","INVENTED","  150",",,W","  -25",",,W"` + "\n" +
				`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","SNOW","SNOW_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n" +
				`"ZZ000000002","2019-02-02","44.5","7.0","100","INVENTED","    0",",,W","  160",",,W","  -35",",,W"` + "\n"},
		{name: "columns the other way round, and back", layout: "CSV with a header", want: append(two("f", "f", 16), two("f", "f", 16)[:2]...),
			text: "date,tmax,tmin\n2019-02-01,15,-2.5\ndate,tmin,tmax\n2019-02-02,-3.5,16\ndate,tmax,tmin\n2019-02-01,15,-2.5\n"},
		{name: "points", layout: "Daymet single pixel", want: two("Daymet 36.0000,-84.0000", "Daymet 37.0000,-84.0000", 16),
			text: daymet + "year,yday,tmax (deg c),tmin (deg c)\n2019,32,15,-2.5\n" + strings.Replace(daymet, "36.0", "37.0", 1) + "year,yday,tmax (deg c),tmin (deg c)\n2019,33,16,-3.5\n"},
		{name: "stations told above, byte order marks", layout: "Environment Canada daily CSV", want: two("7000000", "7000001", 16),
			text: "\ufeff" + canada + `"2019-02-01","15","","-2.5",""` + "\n\ufeff" + strings.Replace(canada, "7000000", "7000001", 1) + `"2019-02-02","16","","-3.5",""` + "\n"},
		{name: "maxima and minima", layout: "BOM daily maximum", want: []one{{"099999", "2019-02-01", weather.TMax, 15, false}, {"099999", "2019-02-01", weather.TMin, -2.5, false}},
			text: "Product code,Bureau of Meteorology station number,Year,Month,Day,Maximum temperature (Degree C),Days of accumulation of maximum temperature,Quality\nIDCJAC0010,099999,2019,02,01,15,1,Y\n" +
				"Product code,Bureau of Meteorology station number,Year,Month,Day,Minimum temperature (Degree C),Days of accumulation of minimum temperature,Quality\nIDCJAC0011,099999,2019,02,01,-2.5,1,Y\n"},
		{name: "inches and °F again", layout: "NOAA web export", want: []one{
			{"ZZ000000001", "2019-02-01", weather.TMax, 30, false}, {"ZZ000000001", "2019-02-02", weather.TMax, 30, false}, {"ZZ000000001", "2019-02-02", weather.Rain, 25.4, false},
		}, text: "STATION,DATE,TMAX\nZZ000000001,2019-02-01,86\nSTATION,DATE,PRCP,TMAX\nZZ000000001,2019-02-02,1.00,86\n"},
	} {
		v.run(t)
	}
}

// TestTornLinesAreTold tells of lines that are no preamble, though one follows.
func TestTornLinesAreTold(t *testing.T) {
	daymet := "Latitude: 36.0  Longitude: -84.0\nTile: 11388\nElevation: 279 meters\nyear,yday,tmax (deg c),tmin (deg c)\n"
	_, got, faults := readings(t, "f.csv", []byte(daymet+"2019,32,15,-2.5\n2019,33,1\n"+daymet+"2019,34,16,-3.5\nnonsense\n2019,35,16,-3.5\nmore\n"), Options{})
	require.Len(t, got, 6)
	var lines []int
	for _, e := range faults {
		var fault *weather.SyntaxError
		require.ErrorAs(t, e, &fault)
		lines = append(lines, fault.Line)
	}
	require.Equal(t, []int{6, 12, 14}, lines)
}

// TestFastReaderLeavesJoinedFiles: it knows the columns of one header only.
func TestFastReaderLeavesJoinedFiles(t *testing.T) {
	part := func(a, b string) string {
		return `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","` + a + `","` + a + `_ATTRIBUTES","` + b + `","` + b + `_ATTRIBUTES"` + "\n" +
			strings.Repeat(`"ZZ000000001","2019-02-01","44.5","7.0","100","INVENTED","  150",",,W","  -25",",,W"`+"\n", 5)
	}
	for text, want := range map[string]bool{
		part("TMAX", "TMIN") + part("TMAX", "TMIN"): true,
		part("TMAX", "TMIN") + part("TMIN", "TMAX"): false,
	} {
		_, ok, err := ReadStationCSV(LargeSource{Name: "s.csv", Reader: strings.NewReader(text), Workers: 1})
		require.NoError(t, err)
		require.Equal(t, want, ok)
	}
}
