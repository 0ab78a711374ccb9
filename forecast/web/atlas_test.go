package web

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Snyder 1987, USGS Professional Paper 1395, numerical example of Albers'
// projection on a sphere of radius 1, p. 292 (from memory): standard parallels
// 29.5° and 45.5° N, origin 23° N 96° W, point 35° N 75° W.
func TestAlbersAsPublished(t *testing.T) {
	got := albers(29.5, 45.5, 23, -96)([2]float64{-75, 35})
	require.InDelta(t, 0.2952720, got.x, 5e-8)
	require.InDelta(t, 0.2416774, -got.y, 5e-8)
}

// A projection of equal areas: the area of small squares on the map follows the
// cosine of their latitude.
func TestAlbersKeepsAreas(t *testing.T) {
	f := albers(29.5, 45.5, 37.5, -96)
	for _, lat := range []float64{25, 35, 48} {
		const d = 1e-3
		o, e, n := f([2]float64{-100, lat}), f([2]float64{-100 + d, lat}), f([2]float64{-100, lat + d})
		area := math.Abs((e.x-o.x)*(n.y-o.y) - (e.y-o.y)*(n.x-o.x))
		rad := d * math.Pi / 180
		require.InEpsilon(t, rad*rad*math.Cos(lat*math.Pi/180), area, 1e-4)
	}
}

// An island chain across the 180th meridian is drawn in one piece.
func TestAcrossTheDateLine(t *testing.T) {
	ring := func(lon float64) [][2]float64 {
		return [][2]float64{{lon, 52}, {lon + 1, 52}, {lon + 1, 53}, {lon, 53}}
	}
	m := drawAtlas([]Area{{ID: "1", Name: "W", Region: "a", RegionName: "A", Rings: [][][2]float64{ring(178)}},
		{ID: "2", Name: "E", Region: "a", RegionName: "A", Rings: [][][2]float64{ring(-179), {{3, 3}, {4, 4}}}}})
	require.Len(t, m.regions, 1)
	for _, s := range m.regions[0].Areas {
		require.Equal(t, 1, strings.Count(s.Path, "z"), "rings without area are left out")
	}
	lon, _ := middle([]Area{{Rings: [][][2]float64{ring(178), ring(-179)}}})
	require.InDelta(t, 180, math.Abs(lon), 0.5)
}

func TestSearch(t *testing.T) {
	m := &drawnAtlas{regions: []region{{Code: "XA", Name: "Xanadu", Areas: []shape{{ID: "1", Name: "Linn"}, {ID: "2", Name: "Lincoln"}}},
		{Code: "YB", Name: "Ybor", Areas: []shape{{ID: "3", Name: "Linn"}}}}}
	for query, want := range map[string]int{"linn": 2, "LINN, xanadu": 1, "lin": 3, "linn yb": 1, "zz": 0} {
		got, more := m.search(query)
		require.Len(t, got, want, query)
		require.Zero(t, more)
	}
}
