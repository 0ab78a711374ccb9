package areal_test

import (
	"math"
	"testing"

	"bloomtide/ingest/areal"
	"bloomtide/ingest/county"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const start = weather.Date(10957) // 2000-01-01

// course is an invented daily temperature, °C, the same for a whole region.
func course(d weather.Date) float64 {
	return 10 - 9*math.Cos(2*math.Pi*float64(d)/365.2425) + 4*math.Sin(float64(d)*1.7) + 2*math.Sin(float64(d)*0.61)
}

// stand makes a station in a region where it is 6.5 K colder for each km of
// height and everything else is alike.
func stand(name string, lon, lat, elevM float64, days int) weather.Series {
	s := weather.Series{Site: weather.Site{ID: name, Point: orb.Point{lon, lat}, ElevM: elevM}, Start: start}
	for i := range days {
		t := course(start+weather.Date(i)) - 6.5*elevM/1000
		s.Days = append(s.Days, weather.Day{
			Min: weather.Celsius(t - 5), Max: weather.Celsius(t + 5), MinFlags: weather.Observed, MaxFlags: weather.Observed,
		})
	}
	return s
}

func place(lon, lat, elevM float64) (weather.Site, []county.Sample) {
	p := orb.Point{lon, lat}
	return weather.Site{Name: "Invented Mead", Point: p, ElevM: elevM}, areal.Point(p, elevM)
}

// Distances from the great-circle mapper's usual examples, computed by
// Vincenty's formula on the WGS 84 ellipsoid (from memory, hence 1 %): London
// to New York 5570 km, Sydney to Santiago 11340 km.
func TestKm(t *testing.T) {
	require.InEpsilon(t, 5570, areal.Km(orb.Point{-0.128, 51.507}, orb.Point{-74.006, 40.713}), 0.01)
	require.InEpsilon(t, 11340, areal.Km(orb.Point{151.209, -33.868}, orb.Point{-70.669, -33.449}), 0.01)
	// A quarter of the globe by definition of the sphere.
	require.InDelta(t, math.Pi/2*6371.0088, areal.Km(orb.Point{0, 90}, orb.Point{77, 0}), 1e-6)
	require.InDelta(t, 0, areal.Km(orb.Point{180, 12}, orb.Point{-180, 12}), 1e-6)
	require.True(t, math.IsNaN(areal.Km(weather.Nowhere(), orb.Point{0, 0})))
}

// Distances on a sphere keep the rules of a metric, and whole turns of
// longitude change nothing. The slack of a metre is for the haversine near the
// antipode, where it holds half of a double's digits (6371 km · 1.5e-8 = 0.1 m).
func TestKmIsAMetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := func(n string) orb.Point {
			return orb.Point{rapid.Float64Range(-180, 180).Draw(t, n+" lon"), rapid.Float64Range(-90, 90).Draw(t, n+" lat")}
		}
		a, b, c := p("a"), p("b"), p("c")
		const metre = 1e-3
		require.InDelta(t, areal.Km(a, b), areal.Km(b, a), metre)
		require.InDelta(t, areal.Km(a, b), areal.Km(a, orb.Point{b[0] + 360, b[1]}), metre)
		require.LessOrEqual(t, areal.Km(a, c), areal.Km(a, b)+areal.Km(b, c)+metre)
		require.LessOrEqual(t, areal.Km(a, b), math.Pi*6371.0088+1e-6)
	})
}

// Heights alone tell these stations apart, so a place at any height gets its
// exact temperature, whatever the mixture, and the lapse rate is found.
func TestMeanBringsToTheHeight(t *testing.T) {
	var all []weather.Series
	for i, z := range []float64{100, 250, 300, 480, 620, 900, 150} {
		all = append(all, stand(string(rune('a'+i)), 10+0.1*float64(i), 50+0.07*float64(i%3), z, 900))
	}
	for _, elevM := range []float64{100, 400, 1200} {
		site, spots := place(10.2, 50.05, elevM)
		r, err := areal.Mean(site, spots, all, areal.Options{})
		require.NoError(t, err)
		require.True(t, r.Lapse[0].Fitted)
		require.InDelta(t, 6.5, r.Lapse[1].KPerKm, 1e-6)
		require.Len(t, r.Series.Days, 900)
		for i, d := range r.Series.Days {
			require.InDelta(t, course(start+weather.Date(i))-6.5*elevM/1000+5, float64(d.Max), 1e-6)
			require.Equal(t, weather.Observed, d.MinFlags)
		}
		require.InDelta(t, 0, r.Error.MaxK, 1e-6)
		require.Equal(t, 7, r.Error.Stations)
		sum := 0.0
		for _, s := range r.Sources {
			sum += s.Share
		}
		require.InDelta(t, 1, sum, 1e-9)
		require.Len(t, r.Series.Sources, 7)
	}
}

// A station that falls silent or is moved away in the record leaves no step,
// though it is always 4 K colder than the others.
func TestMeanHasNoStepWhereAStationEnds(t *testing.T) {
	long := stand("long", 10, 50, 200, 2000)
	short := stand("short", 10.05, 50, 200, 900)
	for i := range short.Days {
		short.Days[i].Min -= 4
		short.Days[i].Max -= 4
	}
	site, spots := place(10.04, 50, 200)
	r, err := areal.Mean(site, spots, []weather.Series{long, short}, areal.Options{})
	require.NoError(t, err)
	off := func(i int) float64 { return float64(r.Series.Days[i].Max) - course(start+weather.Date(i)) }
	require.InDelta(t, off(100), off(1900), 1e-6)
}

// The nearest station weighs most, a year is needed, an unknown position or
// one far away is of no use, and an unknown height is said to be so.
func TestMeanChooses(t *testing.T) {
	near, far := stand("near", 10.05, 50, 200, 900), stand("far", 11, 50, 200, 900)
	brief, lost, remote := stand("brief", 10, 50, 200, 300), stand("lost", 10, 50, 200, 900), stand("remote", 40, 50, 0, 900)
	lost.Site.Point = weather.Nowhere()
	site, spots := place(10, 50, math.NaN())
	r, err := areal.Mean(site, spots, []weather.Series{far, remote, brief, lost, near}, areal.Options{})
	require.NoError(t, err)
	require.Len(t, r.Sources, 2)
	require.Equal(t, "near", r.Sources[0].Site.ID)
	require.Greater(t, r.Sources[0].Share, 0.9)
	require.InDelta(t, 71.5, r.Sources[1].Km, 0.5) // one degree of longitude at 50 N: 111.3 km · cos 50°
	require.Equal(t, 200.0, r.Series.Site.ElevM, "as high as its stations")
	high := stand("high", 10.1, 50, 900, 900)
	r, err = areal.Mean(site, spots, []weather.Series{near, high}, areal.Options{})
	require.NoError(t, err)
	require.Contains(t, r.Notes[len(r.Notes)-1], "height of the place")
	_, err = areal.Mean(site, spots, []weather.Series{brief, lost, remote}, areal.Options{})
	require.ErrorIs(t, err, areal.ErrNoStation)
}

// A place of two belts of height lies between them.
func TestMeanWeighsBeltsOfHeight(t *testing.T) {
	site, _ := place(10, 50, math.NaN())
	belts := []county.Sample{
		{Point: orb.Point{10, 50}, ElevM: 100, Weight: 0.25}, {Point: orb.Point{10, 50.1}, ElevM: 500, Weight: 0.75},
	}
	r, err := areal.Mean(site, belts, []weather.Series{stand("a", 10, 50, 100, 900), stand("b", 10.1, 50, 200, 900)}, areal.Options{})
	require.NoError(t, err)
	require.Equal(t, 400.0, r.Series.Site.ElevM)
	require.InDelta(t, course(start)-6.5*0.4+5, float64(r.Series.Days[0].Max), 0.05)
}

func BenchmarkMean(b *testing.B) {
	var all []weather.Series
	for i := range 8 {
		all = append(all, stand(string(rune('a'+i)), 10+0.1*float64(i), 50, 100*float64(i), 10950))
	}
	site, spots := place(10.2, 50.05, 300)
	for b.Loop() {
		_, err := areal.Mean(site, spots, all, areal.Options{})
		require.NoError(b, err)
	}
}

// Rain and wind of a place are those of its heaviest station that has them
// usable on the day, each for itself, since most stations measure no wind.
func TestWindOfTheHeaviestStationThatHasIt(t *testing.T) {
	near, mid, far := stand("near", 10, 50, 200, 800), stand("mid", 10.3, 50, 200, 800), stand("far", 10.6, 50, 200, 800)
	for i := range near.Days {
		near.Days[i].RainMm, near.Days[i].RainFlags = 1, weather.Observed
		mid.Days[i].WindMs, mid.Days[i].WindFlags = 4, weather.Observed
		far.Days[i].WindMs, far.Days[i].WindFlags = 7, weather.Observed
		if i%2 == 0 {
			mid.Days[i].WindFlags |= weather.Rejected
		}
	}
	site, samples := place(10, 50, 200)
	for _, records := range [][]weather.Series{{near, mid, far}, {far, mid, near}} {
		r, err := areal.Mean(site, samples, records, areal.Options{})
		require.NoError(t, err)
		for i, d := range r.Series.Days {
			require.Equal(t, 1.0, d.RainMm)
			require.Equal(t, []float64{7, 4}[i%2], d.WindMs, "day %d", i)
			require.True(t, d.WindFlags.Usable())
		}
	}
}
