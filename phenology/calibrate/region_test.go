package calibrate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// Sites of one plant with known days of their own: the region finds them, drawn
// a little toward none.
func TestRegionFindsSiteEffects(t *testing.T) {
	plain := phenology.Method{Curve: phenology.Average}
	var sites [][]calibrate.Year
	own := []float64{-6, -3, 0, 3, 6}
	for i, days := range own {
		years := invented(10, 40+float64(i), 1)
		for k := range years {
			years[k].Seen += days
		}
		sites = append(sites, years)
	}
	r, err := calibrate.NewRegion(sites, plain)
	require.NoError(t, err)
	require.Equal(t, 50, r.Years)
	for i, s := range r.Sites {
		require.InDelta(t, own[i], s.Days, 2)
		require.LessOrEqual(t, math.Abs(s.Days), math.Abs(s.MeanDays))
		require.Greater(t, s.RMSE, 0.5)
	}
	require.InDelta(t, 4.7, r.SpreadSD, 1.5, "the standard deviation of the five")
	require.Greater(t, r.RMSESites, r.RMSE)

	one, err := calibrate.NewRegion(sites[:1], plain)
	require.NoError(t, err)
	require.True(t, math.IsNaN(one.RMSESites) && math.IsNaN(one.SpreadSD))
	_, err = calibrate.NewRegion(nil, plain)
	require.ErrorIs(t, err, calibrate.ErrNoYears)
}

// Sweet cherry of two Swiss sites together; each is predicted by the other. The
// published Norwegian figure, unchanged, is what it must beat.
func TestRegionOfSwissCherries(t *testing.T) {
	sites := [][]calibrate.Year{seenYears(t, "prunus-avium-ch-dornach", 47.4816), seenYears(t, "prunus-avium-ch-leytron", 46.1863)}
	r, err := calibrate.NewRegion(sites, phenology.Method{})
	require.NoError(t, err)
	t.Logf("%+v", r)
	var e []float64
	for _, years := range sites {
		for _, y := range years {
			d, ok := calibrate.Model{Row: ullensvang, RowShare: 1}.Season(y.Season)
			require.True(t, ok)
			e = append(e, d-y.Seen)
		}
	}
	t.Logf("the Norwegian row: %.2f days", rmse(e))
	require.Less(t, r.RMSESites, rmse(e))
}

// 300 sites of 40 years take less than a minute on two cores (issue 4.6): here
// a tenth of them, so that the time of one run is a tenth of it.
func BenchmarkRegion30Sites40Years(b *testing.B) {
	var sites [][]calibrate.Year
	for i := range 30 {
		sites = append(sites, invented(40, 35+float64(i)/2, 2))
	}
	for b.Loop() {
		if _, err := calibrate.NewRegion(sites, phenology.Method{}); err != nil {
			b.Fatal(err)
		}
	}
}
