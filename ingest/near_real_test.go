package ingest

import (
	"testing"

	"bloomtide/ingest/fill"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// Pairs of real stations, hidden days of each refilled from the other: Berlin
// and Rostock, 190 km of plain apart, and Basel (316 m) and Sion (482 m), which
// lie 148 km apart on two sides of the Alps and are no neighbours in weather.
// Nearer ones are not in the shared data. Adding Berlin and Wijk aan Zee, 690
// and 590 km off, to the Swiss pair moved its error by -0.05 to +0.25 K on the
// same days, so it is left out. The mean of both extremes
// must stay at or below 1.5 K in the plain, the stated error must be the true
// one, and the stated interval must hold four of five values.
func TestNeighbourError(t *testing.T) {
	for _, c := range []struct {
		files [2]string
		bound float64 // K
	}{
		{[2]string{"dwd-kl/r-work_data_00433-historical.txt", "dwd-kl/r-work_data_04271-historical.txt"}, 1.5},
		{[2]string{"../bloom/daily/prunus-avium-ch-dornach.csv", "../bloom/daily/prunus-avium-ch-leytron.csv"}, 1.7},
	} {
		var s [2]weather.Series
		for i, name := range c.files {
			got, err := Collect(realSources(t, name), Options{NoFill: true})
			require.NoError(t, err)
			s[i] = got[0].Series
		}
		for i := range s {
			for _, gap := range []int{1, 5, 30, 60} {
				e := fill.ScoreNear(s[i], s[1-i:2-i], gap, fill.NearOptions{})
				own := fill.Score(s[i], gap, fill.Options{})
				t.Logf("%s, gap of %d: from the neighbour minimum %.2f K (stated %.2f), maximum %.2f K (stated %.2f), %.1f%% of %d within four of five; from its own record %.2f K, %.2f K",
					c.files[i], gap, e.MinK, e.StatedMinK, e.MaxK, e.StatedMaxK, 100*e.Covered, e.Values, own.MinK, own.MaxK)
				require.LessOrEqual(t, (e.MinK+e.MaxK)/2, c.bound)
				require.Less(t, e.MinK+e.MaxK, own.MinK+own.MaxK)
				require.InEpsilon(t, e.MinK, e.StatedMinK, 0.15)
				require.InEpsilon(t, e.MaxK, e.StatedMaxK, 0.15)
				require.InDelta(t, 0.8, e.Covered, 0.05)
			}
		}
	}
}
