package fetch

import (
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// shared opens a real file of the folder beside the repository: every 60th
// station of GHCN-Daily (NOAA), in the published form.
func shared(t testing.TB, name string) string {
	t.Helper()
	p := filepath.Join("..", "..", "..", "shared", "data", "formats", "ghcn-stations", name)
	if _, err := os.Stat(p); err != nil {
		t.Skip("the shared folder is not beside the repository")
	}
	return p
}

const (
	realStations  = "ghcnd-stations-every-60th.txt"
	realInventory = "ghcnd-inventory-same-stations.txt"
)

func awk(t testing.TB, program, file string) []string {
	t.Helper()
	out, err := exec.Command("awk", program, file).Output()
	if errors.Is(err, exec.ErrNotFound) {
		t.Skip("no awk here")
	}
	require.NoError(t, err)
	return strings.Split(strings.TrimRight(string(out), "\n"), "\n")
}

// Every line of the real lists as awk cuts it by column.
func TestRealListsAgainstAwk(t *testing.T) {
	name := shared(t, realStations)
	want := awk(t, `{n=substr($0,42,30); sub(/ +$/,"",n); e=substr($0,32,6)+0; if(e<=-999) e="NaN"; print substr($0,1,11) "|" substr($0,13,8)+0 "|" substr($0,22,9)+0 "|" e "|" n}`, name)
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	var got []string
	num := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) } // awk prints %.6g
	for s, err := range ReadStations(f, "list") {
		require.NoError(t, err)
		got = append(got, strings.Join([]string{s.ID, num(s.Point.Lat()), num(s.Point.Lon()), num(s.ElevM), s.Name}, "|"))
	}
	require.Equal(t, want, got)
	require.Len(t, got, 2133, "wc -l")

	name = shared(t, realInventory)
	want = awk(t, `{print substr($0,1,11) " " substr($0,37,4) " " substr($0,42,4)}`, name)
	g, err := os.Open(name)
	require.NoError(t, err)
	defer g.Close()
	got = got[:0]
	kept := map[weather.Element]int{}
	for s, err := range ReadInventory(g, "inventory") {
		require.NoError(t, err)
		got = append(got, s.ID+" "+strconv.Itoa(s.First)+" "+strconv.Itoa(s.Last))
		kept[s.Element]++
	}
	require.Equal(t, want, got)
	for e, code := range map[weather.Element]string{weather.TMax: "TMAX", weather.TMin: "TMIN", weather.Rain: "PRCP", weather.TMean: "TAVG"} {
		n := awk(t, `substr($0,32,4)=="`+code+`"{n++} END{print n}`, name)
		require.Equal(t, n[0], strconv.Itoa(kept[e]), code)
	}
}

// Station, span and distance by awk alone, with the spherical law of cosines
// instead of the haversine, for places all over the earth.
const chooser = `
function rad(d) { return d*3.14159265358979/180 }
function acos(x) { if (x>1) x=1; if (x<-1) x=-1; return atan2(sqrt(1-x*x), x) }
NR==FNR { la[substr($0,1,11)]=substr($0,13,8)+0; lo[substr($0,1,11)]=substr($0,22,9)+0; next }
{ id=substr($0,1,11); e=substr($0,32,4); f=substr($0,37,4)+0; l=substr($0,42,4)+0
  if (e=="TMAX") { xf[id]=f; xl[id]=l } if (e=="TMIN") { nf[id]=f; nl[id]=l } }
END { for (id in xf) if (id in nf) { f=xf[id]>nf[id]?xf[id]:nf[id]; l=xl[id]<nl[id]?xl[id]:nl[id]
  if (l-f+1<20) continue
  km=6371.0088*acos(sin(rad(LAT))*sin(rad(la[id]))+cos(rad(LAT))*cos(rad(la[id]))*cos(rad(lo[id]-LON)))
  if (km<=500) print (l<2023) " " sprintf("%08.2f",km) " " id " " f " " l } }`

func TestChooseAgainstAwk(t *testing.T) {
	stations, inventory := shared(t, realStations), shared(t, realInventory)
	for _, at := range []orb.Point{{-93.2, 47.5}, {13.4, 52.5}, {151.2, -33.9}, {179.5, -18}, {-179.9, 52}, {0, 40}, {25, 70}} {
		cmd := exec.Command("sh", "-c", `awk -v LAT="$1" -v LON="$2" "$3" "$4" "$5" | LC_ALL=C sort`, "sh",
			strconv.FormatFloat(at.Lat(), 'f', -1, 64), strconv.FormatFloat(at.Lon(), 'f', -1, 64), chooser, stations, inventory)
		out, err := cmd.Output()
		require.NoError(t, err)
		want := strings.Fields(string(out))
		a, err := os.Open(stations)
		require.NoError(t, err)
		defer a.Close()
		b, err := os.Open(inventory)
		require.NoError(t, err)
		defer b.Close()
		got, err := Choose(a, b, Query{Point: at, Years: 20, WithinKm: 500, Year: 2024})
		if len(want) == 0 {
			e := new(NoStationError)
			require.ErrorAs(t, err, &e)
			continue
		}
		require.NoError(t, err)
		require.Len(t, got, len(want)/5, "%v", at)
		for i, c := range got {
			w := want[5*i:]
			km, err := strconv.ParseFloat(w[1], 64)
			require.NoError(t, err)
			require.InDelta(t, km, c.Km, 0.0012*km+0.02, "orb takes the equatorial radius, 0.112 % more than the mean one")
			require.Equal(t, w[2:5], []string{c.Site.ID, strconv.Itoa(c.First), strconv.Itoa(c.Last)})
			require.Equal(t, w[0] == "1", c.Ended)
		}
	}
}

// Lines in the form of the readme of GHCN-Daily; the stations are invented.
const (
	inventedStations = "" +
		"XX000000001  47.5000  -93.2000  350.0    WILLOW BEND                            \n" +
		"XX000000002  47.7000  -93.2000 -999.9    HOLLOW OAK                             \n" +
		"XX000000003  47.9000  -93.2000  410.0    OLD MILL                               \n" +
		"XX000000004  49.0000  -93.2000  410.0    FAR HILL                               \n"
	inventedInventory = "" +
		"XX000000001  47.5000  -93.2000 TMAX 1990 2026\n" +
		"XX000000001  47.5000  -93.2000 TMIN 2015 2026\n" +
		"XX000000002  47.7000  -93.2000 TMAX 1950 2001\n" +
		"XX000000002  47.7000  -93.2000 TMIN 1950 2001\n" +
		"XX000000003  47.9000  -93.2000 TMAX 1950 2025\n" +
		"XX000000003  47.9000  -93.2000 TMIN 1950 2026\n" +
		"XX000000004  49.0000  -93.2000 TMAX 1950 2026\n" +
		"XX000000004  49.0000  -93.2000 TMIN 1950 2026\n"
)

func choose(q Query) ([]Candidate, error) {
	return Choose(strings.NewReader(inventedStations), strings.NewReader(inventedInventory), q)
}

func TestChooseRules(t *testing.T) {
	q := Query{Point: orb.Point{-93.2, 47.5}, Year: 2026}
	ids := func(all []Candidate) (out []string) {
		for _, c := range all {
			out = append(out, c.Site.ID[10:])
		}
		return out
	}
	got, err := choose(q)
	require.NoError(t, err)
	require.Equal(t, []string{"3", "2"}, ids(got), "too short, ended last, too far")
	require.True(t, got[1].Ended)
	require.True(t, math.IsNaN(got[1].Site.ElevM))
	require.Equal(t, 76, got[0].Years())

	q.Years = 12
	got, err = choose(q)
	require.NoError(t, err)
	require.Equal(t, []string{"1", "3", "2"}, ids(got))

	q.Years, q.WithinKm = 20, 10
	_, err = choose(q)
	require.EqualError(t, err, "no station within 10 km of latitude 47.5, longitude -93.2 has 20 years of TMAX and TMIN; "+
		"the nearest with both is XX000000001 WILLOW BEND, 0 km away, 2015 to 2026; look farther with --within, or ask for fewer --years")
	q.Point = orb.Point{0, 0}
	_, err = choose(q)
	require.ErrorContains(t, err, "longitude 0 has 20 years of TMAX and TMIN; look farther")
}

func TestBadLinesOfLists(t *testing.T) {
	good := strings.SplitAfter(inventedStations, "\n")[0]
	span := strings.SplitAfter(inventedInventory, "\n")[0]
	for _, c := range []struct{ text, want string }{
		{good + "XX0\n", `list:2:1: station "XX0" is not an identifier of 11 letters and digits; the line is torn`},
		{"../../../ab" + good[11:], `list:1:1: station "../../../ab" is not an identifier`},
		{strings.Replace(good, "47.5000", "97.5000", 1), `list:1:2: latitude "97.5000" is not a number of degrees within ±90`},
		{strings.Replace(good, "-93.2000", "     NaN", 1), `list:1:3: longitude "NaN" is not a number of degrees within ±180`},
		{strings.Replace(good, "350.0", "35O.0", 1), `list:1:4: elevation "35O.0" is not a number of metres`},
		{good[:28], `list:1:4: elevation "" is not a number`},
	} {
		var bad *weather.SyntaxError
		for _, err := range ReadStations(strings.NewReader(c.text), "list") {
			if err != nil {
				require.ErrorAs(t, err, &bad)
			}
		}
		require.NotNil(t, bad)
		require.ErrorContains(t, bad, c.want)
	}
	for _, c := range []struct{ text, want string }{
		{strings.Replace(span, "1990", "199O", 1), `list:1:5: first year "199O" is not a year`},
		{strings.Replace(span, "2026", "1026", 1), `list:1:6: last year "1026" is not a year`},
		{strings.Replace(span, "2026", "1989", 1), `list:1:6: last year "1989" lies before the first year 1990`},
		{span[:40], `last year "" is not a year`},
	} {
		for _, err := range ReadInventory(strings.NewReader(c.text), "list") {
			require.ErrorContains(t, err, c.want)
		}
	}
	for _, text := range []string{"", strings.Repeat("<p>no list</p>\n", 30), strings.Repeat("x", 2*maxLine)} {
		_, err := Choose(strings.NewReader(text), strings.NewReader(inventedInventory), Query{})
		require.Error(t, err)
		_, err = Choose(strings.NewReader(inventedStations), strings.NewReader(text), Query{})
		require.Error(t, err)
	}
}

// Nothing that comes out may be what the archive cannot have, whatever goes in.
func FuzzReadStations(f *testing.F) {
	f.Add(inventedStations)
	f.Add(strings.Replace(inventedStations, "47.5000", "1e999  ", 1))
	f.Add("XX000000001\n\n\xff\xfe")
	f.Fuzz(func(t *testing.T, text string) {
		for s, err := range ReadStations(strings.NewReader(text), "list") {
			if err == nil {
				require.True(t, s.Located())
				require.Len(t, s.ID, 11)
				require.False(t, strings.ContainsAny(s.ID, "./\\%? "))
				require.True(t, math.IsNaN(s.ElevM) || s.ElevM > noElevation)
			}
		}
	})
}

func FuzzReadInventory(f *testing.F) {
	f.Add(inventedInventory)
	f.Add("XX000000001  47.5000  -93.2000 TMAX 1990 1989")
	f.Fuzz(func(t *testing.T, text string) {
		for s, err := range ReadInventory(strings.NewReader(text), "list") {
			if err == nil {
				require.True(t, earliest <= s.First && s.First <= s.Last && s.Last <= latest)
				require.Len(t, s.ID, 11)
			}
		}
	})
}

// The published inventory has some 770,000 lines: what one choice costs.
func BenchmarkReadInventory(b *testing.B) {
	text := strings.Repeat(inventedInventory, 10000)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		for _, err := range ReadInventory(strings.NewReader(text), "list") {
			if err != nil {
				b.Fatal(err)
			}
		}
	}
}
