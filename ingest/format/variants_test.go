package format

import (
	"fmt"
	"strings"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// variant is a file in a form that its publisher, or the ways it goes from
// there, gives beside the usual one, with what it says. Values are invented.
type variant struct {
	name, file, layout, text string
	want                     []one
	site                     weather.Site // the first; not looked at where ID is empty
}

func (v variant) run(t *testing.T) {
	t.Run(v.name, func(t *testing.T) {
		file := firstNonEmpty(v.file, "f.csv")
		f, got, faults := readings(t, file, []byte(v.text), Options{})
		require.Empty(t, faults)
		require.Equal(t, v.layout, f.Layout())
		require.Equal(t, v.want, stated(got))
		if v.site.ID != "" {
			require.Equal(t, v.site.ID+" "+v.site.Name, f.Sites()[0].ID+" "+f.Sites()[0].Name)
			require.InDelta(t, v.site.LatDeg(), f.Sites()[0].LatDeg(), 1e-9)
			require.InDelta(t, v.site.ElevM, f.Sites()[0].ElevM, 1e-9)
		}
	})
}

// stated states readings as tests do.
func stated(rs []weather.Reading) (out []one) {
	for _, r := range rs {
		out = append(out, one{r.Station, r.Date.String(), r.Element, float64(int(r.Value*10+1000.5)-1000) / 10, !r.Flags.Usable()})
	}
	return out
}

// at is a site with a latitude and a height.
func at(id, name string, lat, elev float64) weather.Site {
	s := unknownSite(id)
	s.Name, s.ElevM = name, elev
	place(&s, lat, 7)
	return s
}

// TestVariantsOfNOAA: the header of the by-year copies in the cloud, the flag
// columns of the export before 2018, the columns of tools for GHCN-Daily. All
// from memory.
func TestVariantsOfNOAA(t *testing.T) {
	long := "ZZ000000001,20200229,TMAX,123,,,S,0700\nZZ000000001,20200229,TMIN,-99,,,S,\n"
	want := []one{{"ZZ000000001", "2020-02-29", weather.TMax, 12.3, false}, {"ZZ000000001", "2020-02-29", weather.TMin, -9.9, false}}
	flags := ",Measurement Flag,Quality Flag,Source Flag,Time of Observation"
	for _, v := range []variant{
		{name: "by-year with the cloud's header", layout: byYearName, want: want,
			text: "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + long},
		{name: "with a quoted header", layout: byYearName, want: want,
			text: `"ID","DATE","ELEMENT","DATA_VALUE","M_FLAG","Q_FLAG","S_FLAG","OBS_TIME"` + "\n" + long},
		{name: "with days in ISO form, the header twice", layout: byYearName, want: append(want, want...),
			text: strings.Repeat("id,date,element,value,mflag,qflag,sflag,time\n"+strings.ReplaceAll(long, "20200229", "2020-02-29"), 2)},
		{name: "old export with flags", layout: "NOAA web export",
			text: "STATION,STATION_NAME,DATE,TMAX" + flags + ",TMIN" + flags + "\n" +
				"GHCND:ZZ000000001,INVENTED,20200229,281, , ,0,0700,-99, ,I,0,0700\nGHCND:ZZ000000001,INVENTED,20200301,-9999, , , ,9999,-166, , ,0,0700\n",
			want: []one{
				{"ZZ000000001", "2020-02-29", weather.TMax, 28.1, false}, {"ZZ000000001", "2020-02-29", weather.TMin, -9.9, true},
				{"ZZ000000001", "2020-03-01", weather.TMin, -16.6, false},
			}},
		{name: "as tools give it", layout: "NOAA web export",
			text: `"","id","date","prcp","tmax","tmin"` + "\n" + `"1","ZZ000000001",2020-02-29,12,281,-166` + "\n",
			want: []one{
				{"ZZ000000001", "2020-02-29", weather.TMax, 28.1, false}, {"ZZ000000001", "2020-02-29", weather.TMin, -16.6, false},
				{"ZZ000000001", "2020-02-29", weather.Rain, 1.2, false},
			}},
	} {
		v.run(t)
	}
}

// TestUnitOfStationCSV: NOAA's data service prints °C, °F or the archive's
// tenths under the header of the by-station files (from memory). The days are
// the same in each.
func TestUnitOfStationCSV(t *testing.T) {
	file := func(days int, temp, rain string, of func(c float64) float64) string {
		var b strings.Builder
		b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES","PRCP","PRCP_ATTRIBUTES"` + "\n")
		for i := range days {
			c := -8 + 30*float64(i%200)/200
			fmt.Fprintf(&b, `"ZZ000000001","%s","44.9","-93.2","250.0","INVENTED","`+temp+`",",,W","`+temp+`",",,W",%s,",,W"`+"\n", mustCivil(2021, 1, 1)+date(i), of(c+8), of(c), rain)
		}
		return b.String()
	}
	fahrenheit := func(c float64) float64 { return c*1.8 + 32 }
	tens := func(c float64) float64 { return c * 10 }
	for _, c := range []struct {
		name, text string
		rain       float64
	}{
		{"°C", file(400, "%7.1f", `"    2.5"`, same), 2.5},
		{"°C, few days", file(20, "%7.1f", `"    2.5"`, same), 2.5},
		{"°F", file(400, "%7.0f", `"   0.10"`, fahrenheit), 2.54},
		{"°F, few days", file(20, "%7.0f", `"   0.10"`, fahrenheit), 2.54},
		{"°F, dry days", file(20, "%7.0f", `"   0.00"`, fahrenheit), 0},
		{"°F without rain", file(400, "%7.0f", ``, fahrenheit), 0},
		{"tenths", file(400, "%5.0f", `"   25"`, tens), 2.5},
		{"tenths, few days", file(20, "%5.0f", `"   25"`, tens), 2.5},
		{"tenths without rain", file(400, "%5.0f", ``, tens), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			check := func(e weather.Element, d weather.Date, v float64) {
				switch i := int(d - mustCivil(2021, 1, 1)); e {
				case weather.TMin:
					require.InDelta(t, -8+30*float64(i%200)/200, v, 0.3) // half a °F
				case weather.Rain:
					require.InDelta(t, c.rain, v, 1e-9)
				}
			}
			_, got, faults := readings(t, "s.csv", []byte(c.text), Options{})
			require.Empty(t, faults)
			require.NotEmpty(t, got)
			for _, r := range got {
				check(r.Element, r.Date, r.Value)
			}
			l, ok, err := ReadStationCSV(LargeSource{Name: "s.csv", Reader: strings.NewReader(c.text), Workers: 1})
			require.NoError(t, err)
			require.Equal(t, strings.HasPrefix(c.name, "tenths"), ok, "the fast reader takes tenths only")
			if !ok {
				return
			}
			require.NoError(t, l.Each(1, func(s weather.Series, _ Tally) error {
				for i, d := range s.Days {
					check(weather.TMin, s.Start+date(i), float64(d.Min))
				}
				return nil
			}))
		})
	}
}

// TestVariantsOfPublishers, all from memory.
func TestVariantsOfPublishers(t *testing.T) {
	canada := func(name, id, height, lat, lon string, values ...string) string {
		lines := [][2]string{{name, "INVENTED"}, {"Province", "ZZ"}, {"Latitude", lat}, {"Longitude", lon}, {height, values[0]}, {id, "7000000"}}
		var b strings.Builder
		for _, l := range lines {
			fmt.Fprintf(&b, "%q,%q\n", l[0], l[1])
		}
		return "\ufeff" + b.String() + "\n" + `"A","Accumulated"` + "\n\n"
	}
	day := func(id string, low, high float64) []one {
		return []one{{id, "2016-02-29", weather.TMax, high, false}, {id, "2016-02-29", weather.TMin, low, false}}
	}
	prism := "PRISM Time Series Data\nLocation:  Lat: 44.5000   Lon: 7.0000   Elev: 100m\n"
	power := "-BEGIN HEADER-\nNASA/POWER\nLocation: Latitude  44.5   Longitude 7.0 \nElevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 100.00 meters   Site = na\n" +
		"T2M_MAX         MERRA-2 Temperature at 2 Meters Maximum (%s) \nT2M_MIN         MERRA-2 Temperature at 2 Meters Minimum (%[1]s) \nPRECTOTCORR     MERRA-2 Precipitation Corrected (%s) \n-END HEADER-\n"
	meta := "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n44.5,7.0,100.0,%d,Zz/Zz,ZZ\n\n"
	for _, v := range []variant{
		{name: "Canada until 2018", file: "eng-daily-01012016-12312016.csv", layout: "Environment Canada daily CSV",
			text: canada("Station Name", "Climate Identifier", "Elevation", "44.5", "-70.0", "100.0") +
				`"Date/Time","Year","Month","Day","Data Quality","Max Temp (°C)","Max Temp Flag","Min Temp (°C)","Min Temp Flag"` + "\n" + `"2016-02-29","2016","02","29","‡","1.5","","-2.5",""` + "\n",
			want: day("7000000", -2.5, 1.5), site: at("7000000", "INVENTED", 44.5, 100)},
		{name: "Canada until 2018 in French", file: "fra-quotidien.csv", layout: "Environment Canada daily CSV (French)",
			text: canada("Nom de la Station", "Identificateur climatologique", "Altitude", "44,5", "-70,0", "100,0") +
				`"Date/Heure","Année","Mois","Jour","Qualité des Données","Temp max.(°C)","Temp max. Indicateur","Temp min.(°C)","Temp min. Indicateur"` + "\n" + `"2016-02-29","2016","02","29","","1,5","","-2,5",""` + "\n",
			want: day("7000000", -2.5, 1.5), site: at("7000000", "INVENTED", 44.5, 100)},
		{name: "Canada's newer interface", layout: "Environment Canada climate-daily CSV",
			text: "x,y,STATION_NAME,CLIMATE_IDENTIFIER,ID,LOCAL_DATE,PROVINCE_CODE,LOCAL_YEAR,LOCAL_MONTH,LOCAL_DAY,MEAN_TEMPERATURE,MEAN_TEMPERATURE_FLAG,MIN_TEMPERATURE,MIN_TEMPERATURE_FLAG,MAX_TEMPERATURE,MAX_TEMPERATURE_FLAG\n" +
				"-70.0,44.5,INVENTED,7000000,7000000.2016.2.29,2016-02-29 00:00:00,ZZ,2016,2,29,,M,-2.5,,1.5,\n",
			want: day("7000000", -2.5, 1.5)},
		{name: "PRISM without rain", layout: "PRISM point", text: prism + "Date,tmin (degrees C),tmax (degrees C)\n2016-02-29,-2.5,1.5\n",
			want: day("PRISM 44.5000,7.0000", -2.5, 1.5), site: at("PRISM 44.5000,7.0000", "PRISM 44.5000,7.0000", 44.5, 100)},
		{name: "PRISM at several points", layout: "PRISM point", text: "PRISM Time Series Data\nLocations: 2\n" +
			"Name,Longitude,Latitude,Elevation (ft),Date,tmin (degrees F),tmax (degrees F)\nA,7.0,44.5,1000,2016-02-29,32.0,50.0\nB,8.0,44.5,2000,2016-02-29,23.0,41.0\n",
			want: append(day("44.5,7.0", 0, 10), day("44.5,8.0", -5, 5)...), site: at("44.5,7.0", "A", 44.5, 304.8)},
		{name: "POWER's capitals", layout: "NASA POWER daily", text: fmt.Sprintf(power, "C", "mm/day") + "LAT,LON,YEAR,MO,DY,T2M_MAX,T2M_MIN\n44.5,7.0,2016,2,29,1.5,-2.5\n",
			want: day("44.5,7.0", -2.5, 1.5), site: at("44.5,7.0", "POWER 44.5000,7.0000", 44.5, 100)},
		{name: "POWER in °F", layout: "NASA POWER daily", text: fmt.Sprintf(power, "F", "in/day") + "YEAR,DOY,T2M_MAX,T2M_MIN,PRECTOTCORR\n2016,60,50,32,0.50\n",
			want: append(day("POWER 44.5000,7.0000", 0, 10), one{"POWER 44.5000,7.0000", "2016-02-29", weather.Rain, 12.7, false})},
		{name: "Open-Meteo by seconds", layout: "Open-Meteo daily CSV", // 1456704000 is the start of 29 February 2016 in UTC, by date -u -d @1456704000
			text: fmt.Sprintf(meta, 0) + "time,temperature_2m_max (°C),temperature_2m_min (°C)\n1456704000,1.5,-2.5\n", want: day("Open-Meteo 44.5000,7.0000", -2.5, 1.5)},
		{name: "Open-Meteo by seconds, west", layout: "Open-Meteo daily CSV",
			text: fmt.Sprintf(meta, -18000) + "time,temperature_2m_max (°C),temperature_2m_min (°C)\n1456722000,1.5,-2.5\n", want: day("Open-Meteo 44.5000,7.0000", -2.5, 1.5)},
		{name: "BOM joined", layout: "BOM daily maximum",
			text: "Product code,Bureau of Meteorology station number,Year,Month,Day,Maximum temperature (Degree C),Quality,Minimum temperature (Degree C),Quality\nIDCJAC0010,099999,2016,02,29,1.5,Y,-2.5,Y\n",
			want: day("099999", -2.5, 1.5)},
		{name: "KNMI, stations in the first line", layout: "KNMI daily",
			text: "# STN         LON(east)   LAT(north)  ALT(m)      NAME\n# 260         5.180       44.500      1.900       Invented\n# STN,YYYYMMDD,   TN,   TX\n  260,20160229,  -25,   15\n",
			want: day("260", -2.5, 1.5), site: at("260", "Invented", 44.5, 1.9)},
	} {
		v.run(t)
	}
}
