package county

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// tiny is the example of the TopoJSON specification in small: a square of one
// arc and a ring that is collapsed.
const tiny = `{"type":"Topology","transform":{"scale":[0.5,0.5],"translate":[10,50]},"objects":{"counties":{"type":"GeometryCollection","geometries":[
{"type":"Polygon","arcs":[[0]],"id":"19113","properties":{"name":"Linn"}},
{"type":"MultiPolygon","arcs":[[[1]],[[-1]]],"id":19115,"properties":{"name":"Louisa"}}]}},
"arcs":[[[0,0],[2,0],[0,2],[-2,0],[0,-2]],[[0,0],[0,0]]]}`

func TestReadTopology(t *testing.T) {
	top, err := readTopology([]byte(tiny))
	require.NoError(t, err)
	all, err := top.features("counties")
	require.NoError(t, err)
	require.Len(t, all, 2)
	require.Equal(t, "19115", all[1].id, "an identifier may be a number")
	require.Equal(t, [2]float64{11, 51}, [2]float64(all[0].shape[0][0][2]), "steps are added up and scaled")
	require.Len(t, all[1].shape, 1, "the collapsed ring is left out, the backward one is kept")
	require.True(t, inside(all[1].shape, [2]float64{10.5, 50.5}))
	_, err = top.features("states")
	require.ErrorContains(t, err, "no object")
}

func FuzzReadTopology(f *testing.F) {
	f.Add([]byte(tiny))
	f.Add([]byte(`{"type":"Topology","objects":{"counties":null},"arcs":[[[1]]]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		top, err := readTopology(b)
		if err != nil {
			return
		}
		all, err := top.features("counties")
		if err != nil {
			return
		}
		for _, x := range all {
			for _, p := range x.shape {
				require.GreaterOrEqual(t, len(p[0]), fewestPositions)
			}
		}
	})
}
