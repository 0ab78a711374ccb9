package ingest

import (
	"testing"

	"bloomtide/ingest/fill"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// Real stations, every day hidden once and refilled from the others: Berlin and
// Rostock, 190 km of plain apart; Basel (316 m) from Sion (482 m), 148 km off on
// the other side of the Alps, and from Klein-Altendorf, 345 km down the Rhine;
// Sion from the same. Nearer ones are not in the shared data. The mean of both
// extremes must stay at or below 1.5 K at each length of gap, the stated error
// must be the true one, and the stated interval must hold four of five values.
func TestNeighbourError(t *testing.T) {
	const berlin, rostock = "dwd-kl/r-work_data_00433-historical.txt", "dwd-kl/r-work_data_04271-historical.txt"
	const basel, sion = "../bloom/daily/prunus-avium-ch-dornach.csv", "../bloom/daily/prunus-avium-ch-leytron.csv"
	const altendorf = "../bloom/klein-altendorf/KA_weather.csv"
	for _, c := range []struct {
		file string
		near []string
	}{
		{berlin, []string{rostock}},
		{rostock, []string{berlin}},
		{basel, []string{sion, altendorf}},
		{sion, []string{basel, altendorf}},
	} {
		station := recordOf(t, c.file)
		var near []weather.Series
		for _, name := range c.near {
			near = append(near, recordOf(t, name))
		}
		for _, gap := range []int{1, 5, 30, 60} {
			e := fill.ScoreNear(station, near, gap, fill.NearOptions{})
			own := fill.Score(station, gap, fill.Options{})
			t.Logf("%s, gap of %d: from neighbours minimum %.2f K (stated %.2f), maximum %.2f K (stated %.2f), mean %.3f K, %.1f%% of %d within four of five; from its own record %.2f K, %.2f K",
				c.file, gap, e.MinK, e.StatedMinK, e.MaxK, e.StatedMaxK, (e.MinK+e.MaxK)/2, 100*e.Covered, e.Values, own.MinK, own.MaxK)
			require.LessOrEqual(t, (e.MinK+e.MaxK)/2, 1.5)
			require.Less(t, e.MinK+e.MaxK, own.MinK+own.MaxK)
			require.InEpsilon(t, e.MinK, e.StatedMinK, 0.05)
			require.InEpsilon(t, e.MaxK, e.StatedMaxK, 0.05)
			require.InDelta(t, 0.8, e.Covered, 0.02)
		}
	}
}

// A distant station beside a near one does no harm: what it knows is weighed by
// how its errors go together with those of the near one. Weighed by its squared
// error alone, Klein-Altendorf made Sion's refilled days worse by 0.05 to 0.09 K.
func TestDistantNeighbourDoesNoHarm(t *testing.T) {
	sion := recordOf(t, "../bloom/daily/prunus-avium-ch-leytron.csv")
	basel := recordOf(t, "../bloom/daily/prunus-avium-ch-dornach.csv")
	altendorf := recordOf(t, "../bloom/klein-altendorf/KA_weather.csv")
	for _, gap := range []int{1, 30} {
		alone := fill.ScoreNear(sion, []weather.Series{basel}, gap, fill.NearOptions{})
		both := fill.ScoreNear(sion, []weather.Series{basel, altendorf}, gap, fill.NearOptions{})
		require.Less(t, both.MinK+both.MaxK, alone.MinK+alone.MaxK+0.02)
	}
}

func recordOf(t *testing.T, name string) weather.Series {
	got, err := Collect(realSources(t, name), Options{NoFill: true})
	require.NoError(t, err)
	return got[0].Series
}
