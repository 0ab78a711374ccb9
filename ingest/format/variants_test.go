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
			require.Equal(t, strings.HasPrefix(c.name, "tenths") && !strings.HasSuffix(c.name, "few days"), ok, "the fast reader takes tenths only")
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
