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
		{name: "local climatological data", layout: "NOAA local climatological data",
			text: `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","REPORT_TYPE","HourlyDryBulbTemperature","DailyMaximumDryBulbTemperature","DailyMinimumDryBulbTemperature","DailyPrecipitation"` + "\n" +
				`"99999900001","2020-02-29T22:51:00","44.5","7.0","100","INVENTED","FM-15","50","","",""` + "\n" + `"99999900001","2020-02-29T23:59:00","44.5","7.0","100","INVENTED","SOD  ","","86","50","0.50"` + "\n",
			want: []one{
				{"99999900001", "2020-02-29", weather.TMax, 30, false}, {"99999900001", "2020-02-29", weather.TMin, 10, false},
				{"99999900001", "2020-02-29", weather.Rain, 12.7, false},
			}, site: at("99999900001", "INVENTED", 44.5, 100)},
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
		{name: "Open-Meteo's names over days without hyphens", layout: "Open-Meteo daily CSV",
			text: fmt.Sprintf(meta, -18000) + "time,temperature_2m_max (°C),temperature_2m_min (°C)\n20160229,1.5,-2.5\n", want: day("Open-Meteo 44.5000,7.0000", -2.5, 1.5)},
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

// TestColumnsInOtherLanguages reads the names that offices of each country give,
// in either encoding. Common practice, no source.
func TestColumnsInOtherLanguages(t *testing.T) {
	want := append(plainDay("2020-02-13", -1.5, 2.5), one{"f", "2020-02-13", weather.Rain, 0.5, false})
	for _, head := range []string{
		"Datum;Temperatur Min.;Temperatur Max.;Regen", "Datum;Tiefsttemperatur;Höchsttemperatur;Niederschlag", "Tag;Temp. min [°C];Temp. max [°C];Niederschlag [mm]",
		"Date;Température minimale;Température maximale;Précipitations", "Date;T min (°C);T max (°C);Pluie (mm)",
		"fecha;temperatura mínima;temperatura máxima;precipitación", "Fecha;Tmin;Tmax;Lluvia",
		"Data;T min;T max;Pioggia", "Data;Temperatura minima;Temperatura massima;Precipitazione",
		"Data;Temperatura Mínima;Temperatura Máxima;Precipitação", "Datum;Minimumtemperatuur;Maximumtemperatuur;Neerslag",
		"Datum;Lägsta temperatur;Högsta temperatur;Nederbörd", "Dato;Minimumstemperatur (døgn);Maksimumstemperatur (døgn);Nedbør (døgn)",
		"Dato;Min. temp.;Maks. temp.;Nedbør", "Data;Temperatura minimalna;Temperatura maksymalna;Opad", "time;tlmin;tlmax;rr",
	} {
		for _, text := range []string{head, inLatin1(head)} {
			_, got, faults := readings(t, "f.csv", []byte(text+"\n13.02.2020;-1,5;2,5;0,5\n"), Options{})
			require.Empty(t, faults)
			require.ElementsMatch(t, want, stated(got), head)
		}
	}
}

func inLatin1(s string) string {
	var b []byte
	for _, r := range s {
		b = append(b, byte(r))
	}
	return string(b)
}

// TestNationalServices, from memory.
func TestNationalServices(t *testing.T) {
	for _, v := range []variant{
		{name: "France", layout: "Météo-France daily",
			text: "NUM_POSTE;NOM_USUEL;LAT;LON;ALTI;AAAAMMJJ;RR;QRR;TN;QTN;HTN;QHTN;TX;QTX;HTX;QHTX;TM;QTM;FFM;QFFM\n" +
				"01099999;INVENTE;46.25;5.5;534;18800229;0.5;1;-1.5;1;0630;9;2.5;2;1430;9;;;1.5;9\n",
			want: []one{
				{"01099999", "1880-02-29", weather.TMax, 2.5, true}, {"01099999", "1880-02-29", weather.TMin, -1.5, false},
				{"01099999", "1880-02-29", weather.Rain, 0.5, false}, {"01099999", "1880-02-29", weather.Wind, 1.5, false},
			}, site: at("01099999", "INVENTE", 46.25, 534)},
		{name: "Ireland", file: "dly999.csv", layout: "Met Éireann daily",
			text: "Station Name: INVENTED\nStation Height: 48 M \nLatitude:53.25  ,Longitude: -6.50\n\n\ndate:  -  00 to 00 utc\nrain:  -  Precipitation Amount (mm)\n\n" +
				"date,ind,maxtp,ind,mintp,igmin,gmin,ind,rain,wdsp\n29-feb-2020,0,2.5,0,-1.5,0,-3.0,0,0.5, \n",
			want: []one{{"dly999", "2020-02-29", weather.TMax, 2.5, false}, {"dly999", "2020-02-29", weather.TMin, -1.5, false}, {"dly999", "2020-02-29", weather.Rain, 0.5, false}},
			site: at("dly999", "INVENTED", 53.25, 48)},
		{name: "Spain", layout: "CSV with a header",
			text: "\"fecha\",\"indicativo\",\"nombre\",\"provincia\",\"altitud\",\"tmed\",\"prec\",\"tmin\",\"horatmin\",\"tmax\"\n" +
				"\"2020-02-29\",\"9999\",\"INVENTADA\",\"X\",\"667\",\"5,5\",\"Ip\",\"-1,5\",\"05:30\",\"2,5\"\n",
			want: []one{{"9999", "2020-02-29", weather.TMax, 2.5, false}, {"9999", "2020-02-29", weather.TMin, -1.5, false}, {"9999", "2020-02-29", weather.Rain, 0, false}}},
		{name: "places told by name only", layout: "CSV with a header", text: "name,datetime,tempmax,tempmin\nOne,2020-02-29,2.5,-1.5\nTwo,2020-02-29,3.5,-0.5\n",
			want: []one{
				{"One", "2020-02-29", weather.TMax, 2.5, false}, {"One", "2020-02-29", weather.TMin, -1.5, false},
				{"Two", "2020-02-29", weather.TMax, 3.5, false}, {"Two", "2020-02-29", weather.TMin, -0.5, false},
			}},
	} {
		v.run(t)
	}
}

// TestCellsAndLines as programs on the way leave them.
func TestCellsAndLines(t *testing.T) {
	for name, text := range map[string]string{
		"a minus sign of writing": "date,tmin,tmax\n2020-02-29,−1.5,2.5\n",
		"CRLF written as a text":  "date,tmin,tmax\r\r\n2020-02-29,-1.5,2.5\r\r\n",
		"an old end of a text":    "date,tmin,tmax\r\n2020-02-29,-1.5,2.5\r\n\x1a",
		"a month in letters":      "date,tmin,tmax\n29 February 2020,-1.5,2.5\n",
		"rain of R's names":       "year,yday,prcp..mm.day.,tmax..deg.c.,tmin..deg.c.\n2020,60,,2.5,-1.5\n",
	} {
		_, got, faults := readings(t, "f.csv", []byte(text), Options{})
		require.Empty(t, faults, name)
		require.Equal(t, plainDay("2020-02-29", -1.5, 2.5), stated(got), name)
	}
	for text, mend := range map[string]string{
		"date,tmin,tmax\n29-Feb-20,-1.5,2.5\n":           "write the year with four digits",
		"date,tmin,tmax\n2/29/20,-1.5,2.5\n":             "write the year with four digits",
		"date,tmin,tmax\n29-Febber-2020,-1.5,2.5\n":      "dates are read as YYYY-MM-DD",
		"date,tmin,tmax\n2020-02-29,-1.5 °C,2.5\n":       "write the number without its unit",
		"date,tmin,tmax\n2020-02-29,-1.5\u00b0C,2.5\n":   "write the number without its unit",
		"date,tmin,tmax\n2020-02-29,-1.5,2.5\n\x1a,1,\n": "dates are read as",
	} {
		_, _, faults := readings(t, "f.csv", []byte(text), Options{})
		require.Len(t, faults, 1, text)
		require.ErrorContains(t, faults[0], mend)
	}
}

// TestNumbersOfLinesAreNoStations, as of tables out of a database (common
// practice, no source).
func TestNumbersOfLinesAreNoStations(t *testing.T) {
	write := func(row func(i int) string) string {
		var b strings.Builder
		b.WriteString("id,date,tmin,tmax\n")
		for i := range 30 {
			b.WriteString(row(i) + ",-1.5,2.5\n")
		}
		return b.String()
	}
	for text, stations := range map[string]int{
		write(func(i int) string { return fmt.Sprintf("%d,%s", i, mustCivil(2020, 2, 1)+date(i)) }): 1,
		write(func(i int) string { return fmt.Sprintf("%d,2020-02-01", i) }):                        30,
		write(func(i int) string { return fmt.Sprintf("7,%s", mustCivil(2020, 2, 1)+date(i)) }):     1,
	} {
		f, got, faults := readings(t, "f.csv", []byte(text), Options{})
		require.Empty(t, faults)
		require.Len(t, got, 60)
		require.Len(t, f.Sites(), stations)
	}
}

// TestMonthsAreTold: services hand out months where days are not asked for.
func TestMonthsAreTold(t *testing.T) {
	for _, month := range []string{"2020-02", "202002", "2020/2"} {
		_, _, faults := readings(t, "f.csv", []byte("date,tmin,tmax\n"+month+",-1.5,2.5\n"), Options{})
		require.Len(t, faults, 1)
		require.ErrorContains(t, faults[0], "f.csv:2:1: a month, not a day")
		require.ErrorContains(t, faults[0], "fetch the daily values")
	}
}

// TestNotesInAZip: BOM's tells of the station, others are left out without a
// word. Names and lines from memory.
func TestNotesInAZip(t *testing.T) {
	days := "Product code,Bureau of Meteorology station number,Year,Month,Day,Maximum temperature (Degree C),Days of accumulation of maximum temperature,Quality\nIDCJAC0010,099999,2020,02,29,2.5,1,Y\n"
	note := "Explanatory notes: see below\r\n\r\nBureau of Meteorology station number: 99999\r\nStation name: INVENTED\r\nLatitude (decimal degrees, south negative): -33.50\r\n" +
		"Longitude (decimal degrees, east positive): 151.25\r\nHeight of station above mean sea level (metres): 39\r\nState: ZZ\r\n"
	for _, name := range []string{"IDCJAC0010_099999_1800_Data.csv", "ZDCJAC_Data.csv"} { // before the note and behind
		f, got, faults := readings(t, "f.zip", []byte(zipOf(map[string]string{name: days, "IDCJAC0010_099999_1800_Note.txt": note, "readme.txt": "read me\n"})), Options{})
		require.Empty(t, faults)
		require.Equal(t, []one{{"099999", "2020-02-29", weather.TMax, 2.5, false}}, stated(got))
		require.Empty(t, f.Notes())
		require.Equal(t, "BOM daily maximum", f.Layout())
		require.Len(t, f.Sites(), 1)
		require.Equal(t, "INVENTED", f.Sites()[0].Name)
		require.Equal(t, [3]float64{-33.5, 151.25, 39}, [3]float64{f.Sites()[0].LatDeg(), f.Sites()[0].Point.Lon(), f.Sites()[0].ElevM})
	}
	sites, ok := Places(strings.NewReader(note), "IDCJAC0010_099999_1800_Note.txt")
	require.True(t, ok)
	require.Equal(t, "099999", sites[0].ID)
	require.True(t, LooksLikePlaces([]byte(note)))
	f, _, _ := readings(t, "f.zip", []byte(zipOf(map[string]string{"a.csv": days, "b_Note.txt": "of a text that is not known\n"})), Options{})
	require.Empty(t, f.Notes())
}
