package county_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bloomtide/ingest/county"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func atlas(t testing.TB) *county.Atlas {
	t.Helper()
	a, err := county.Load()
	require.NoError(t, err)
	return a
}

func TestFindTakesWhatPeopleWrite(t *testing.T) {
	a := atlas(t)
	for query, fips := range map[string]string{
		// Codes: FIPS 6-4, as the outlines carry them.
		"Linn, Iowa": "19113", "linn county, IA": "19113", "Linn IA": "19113", "19113": "19113",
		"King, Washington": "53033", "St. Louis county, Missouri": "29189", "Saint Louis city, MO": "29510",
		"Doña Ana, NM": "35013", "Dona Ana New Mexico": "35013", "Autauga": "01001", "1001": "01001",
		"Orleans Parish, Louisiana": "22071", "Falls Church, Virginia": "51610",
		"Shannon, SD": "46102", "Chugach, Alaska": "02261", "09190": "09001",
	} {
		c, err := a.Find(query)
		require.NoError(t, err, query)
		require.Equal(t, fips, c.FIPS, query)
	}
}

func TestFindSaysWhatMayBeMeant(t *testing.T) {
	a := atlas(t)
	for query, want := range map[string]string{
		"Lin, Iowa":      `did you mean "Linn, Iowa"`,
		"Washington":     "add the state",
		"Linn, Nebraska": "Linn",
		"19999":          "Iowa has no county 999",
		"99999":          "five digits",
		"":               "no county",
	} {
		_, err := a.Find(query)
		require.ErrorContains(t, err, want, query)
	}
}

// Areas from the US Census Bureau (land and water, from memory): Linn County,
// Iowa, 1 877 km²; San Bernardino County, California, 52 072 km²; all of Iowa
// 145 746 km².
func TestAreasAreThoseOfTheCensus(t *testing.T) {
	a := atlas(t)
	iowa := 0.0
	for _, c := range a.Counties() {
		if c.State == "IA" {
			iowa += c.Outline.AreaKm2()
		}
	}
	require.InEpsilon(t, 145746, iowa, 0.01)
	for fips, km2 := range map[string]float64{"19113": 1877, "06071": 52072} {
		c, err := a.Find(fips)
		require.NoError(t, err)
		require.InEpsilon(t, km2, c.Outline.AreaKm2(), 0.01, c)
	}
}

func TestEveryCountyHoldsItsCentre(t *testing.T) {
	a := atlas(t)
	all := a.Counties()
	require.Len(t, all, 3231) // counted in the published file by another reader
	for _, c := range all {
		if len(c.Outline.Zones) == 0 {
			continue
		}
		p := c.Outline.Centre()
		require.True(t, c.Outline.Contains(p), "%s %v", c, p)
		at, err := a.At(p)
		require.NoError(t, err, c)
		require.Equal(t, c.FIPS, at.FIPS, "%s %v", c, p)
	}
}

func TestAt(t *testing.T) {
	a := atlas(t)
	for _, c := range []struct {
		p    orb.Point
		fips string
	}{
		{orb.Point{-122.33, 47.61}, "53033"},       // Seattle
		{orb.Point{-122.33 + 360, 47.61}, "53033"}, // the same, once round
		{orb.Point{-91.67, 41.98}, "19113"},        // Cedar Rapids
		{orb.Point{173.2, 52.9}, "02016"},          // Attu, across the 180th meridian
	} {
		got, err := a.At(c.p)
		require.NoError(t, err)
		require.Equal(t, c.fips, got.FIPS)
	}
	for _, p := range []orb.Point{{13.4, 52.5}, {math.NaN(), 1}, {-40, 40}} {
		_, err := a.At(p)
		require.Error(t, err)
	}
}

func TestSamplesShareThePlace(t *testing.T) {
	c, err := atlas(t).Find("19113")
	require.NoError(t, err)
	sum := 0.0
	for _, s := range c.Outline.Samples(25) {
		require.True(t, c.Outline.Contains(s.Point))
		sum += s.Weight
	}
	require.InDelta(t, 1, sum, 1e-9)
}

const square = `{"type":"Feature","properties":{"name":"Willow Bend (invented)","elevation":320},
"geometry":{"type":"Polygon","coordinates":[[[10,50],[11,50],[11,51],[10,51],[10,50]],[[10.4,50.4],[10.6,50.4],[10.6,50.6],[10.4,50.6],[10.4,50.4]]]}}`

func TestReadOutline(t *testing.T) {
	o, err := county.ReadOutline([]byte(square))
	require.NoError(t, err)
	require.Equal(t, "Willow Bend (invented)", o.Name)
	require.True(t, o.Contains(orb.Point{10.1, 50.1}))
	require.False(t, o.Contains(orb.Point{10.5, 50.5}), "the hole is outside")
	require.True(t, o.Contains(o.Centre()), "a centre in a hole is moved")
	// One degree square between 50 and 51 N: R² Δλ (sin 51° − sin 50°), less the hole.
	const r = 6371.0
	rad := math.Pi / 180
	whole := r * r * rad * (math.Sin(51*rad) - math.Sin(50*rad))
	hole := r * r * 0.2 * rad * (math.Sin(50.6*rad) - math.Sin(50.4*rad))
	require.InEpsilon(t, whole-hole, o.AreaKm2(), 0.001)
	require.Equal(t, 320.0, o.Samples(5)[0].ElevM)
}

func TestReadOutlineNamesTheMend(t *testing.T) {
	for _, bad := range []string{"", "{", "[]", `{"type":"Point","coordinates":[1,2]}`,
		`{"type":"Polygon","coordinates":[]}`, `{"type":"Polygon","coordinates":[[[1,2],[3,4]]]}`,
		`{"type":"Polygon","coordinates":[[[500000,4000000],[500001,4000000],[500001,4000001],[500000,4000000]]]}`,
		strings.Repeat(`{"type":"GeometryCollection","geometries":[`, 20) + strings.Repeat("]}", 20)} {
		_, err := county.ReadOutline([]byte(bad))
		require.Error(t, err, bad)
		require.NotEmpty(t, err.Error())
	}
}

func FuzzReadOutline(f *testing.F) {
	f.Add([]byte(square))
	f.Add([]byte(`{"type":"MultiPolygon","coordinates":[[[[1,2],[3,4],[5,0],[1,2]]]]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		o, err := county.ReadOutline(b)
		if err != nil {
			return
		}
		p := o.Centre()
		require.LessOrEqual(t, math.Abs(p[1]), 90.0)
		require.GreaterOrEqual(t, o.AreaKm2(), 0.0)
	})
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := county.Load(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAt(b *testing.B) {
	a := atlas(b)
	for b.Loop() {
		if _, err := a.At(orb.Point{-91.67, 41.98}); err != nil {
			b.Fatal(err)
		}
	}
}

// The station list of NOAA's GHCN-Daily names the state of each of its US
// stations: columns 39 and 40 of the published fixed width, position in 13 to
// 30. Stations on a border river or a pier may fall to either side.
func TestStatesAgainstStationsOfNOAA(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "data", "formats", "ghcn-stations", "ghcnd-stations-every-60th.txt"))
	if err != nil {
		t.Skipf("no shared data beside the project: %v", err)
	}
	a := atlas(t)
	same, all := 0, 0
	for line := range strings.Lines(string(b)) {
		if len(line) < 41 || !strings.HasPrefix(line, "US") && !strings.HasPrefix(line, "RQ") {
			continue
		}
		lat, errLat := strconv.ParseFloat(strings.TrimSpace(line[12:20]), 64)
		lon, errLon := strconv.ParseFloat(strings.TrimSpace(line[21:30]), 64)
		require.NoError(t, errors.Join(errLat, errLon))
		all++
		if c, err := a.At(orb.Point{lon, lat}); err == nil && c.State == line[38:40] {
			same++
		} else {
			t.Logf("%s lies in %s (%v)", strings.TrimSpace(line[:72]), c, err)
		}
	}
	require.Greater(t, all, 500)
	require.Greater(t, float64(same), 0.995*float64(all))
}
