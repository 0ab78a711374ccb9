package forecast_test

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast"
	"bloomtide/ingest"
	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// openSites are the single-site sets of ../shared/data/bloom: National Park
// Service, MeteoSwiss (twice) and Harvard Forest.
var openSites = []struct {
	id  string
	lat float64
}{
	{"prunus-yedoensis-washington-dc", 38.885},
	{"prunus-avium-ch-dornach", 47.4816},
	{"prunus-avium-ch-leytron", 46.1863},
	{"vaccinium-corymbosum-harvard-forest", 42.5429},
}

func openShared(t testing.TB, name ...string) *os.File {
	path := filepath.Join(append([]string{"..", "..", "shared", "data", "bloom"}, name...)...)
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skipf("not checked: no file %s on this machine", path)
	}
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// openSite reads the weather and the dates of a site as the command does.
func openSite(t testing.TB, id string, lat float64) (weather.Series, []calibrate.Year) {
	f := openShared(t, "daily", id+".csv")
	all, err := ingest.Collect([]ingest.Source{{Name: id, Reader: f}}, ingest.Options{Means: true})
	require.NoError(t, err)
	s := all[0].Series
	s.Site.Point = [2]float64{0, lat}
	seen, err := records.Read(openShared(t, "bloom.csv"), records.Options{Name: "bloom.csv", LatDeg: lat})
	require.NoError(t, err)
	var years []calibrate.Year
	for _, o := range seen.Seen {
		if o.Place == id {
			y, err := calibrate.NewYear(s, calibrate.Seen{Day: o.Day, Till: o.Till})
			require.NoError(t, err)
			years = append(years, y)
		}
	}
	return s, years
}

// The 80 % intervals of all hindcasts together hold 75 to 85 % of what came, at
// every lead time; and the forecast is nowhere worse than the dates of the other
// years by more than a fiftieth.
func TestHindcastCoverageOnOpenRecords(t *testing.T) {
	if testing.Short() {
		t.Skip("arithmetic of one goroutine, minutes of it: left out of the short run, which looks for races")
	}
	t.Parallel()
	inside, n := map[int]float64{}, map[int]float64{}
	own, climate := map[int]float64{}, map[int]float64{}
	for _, site := range openSites {
		s, years := openSite(t, site.id, site.lat)
		f, err := calibrate.New(years, calibrate.Options{})
		require.NoError(t, err)
		t.Logf("%s, %d years, %s", site.id, len(years), f.Model.Name)
		leads, doubts, err := forecast.Hindcast(s, forecast.PastYears(f), forecast.HindcastOptions{})
		require.NoError(t, err)
		require.Empty(t, doubts)
		for _, l := range leads {
			t.Logf("  %2d days: n %2d MAE %.2f [%.2f %.2f] RMSE %.2f bias %+.2f CRPS %.2f CRPSS %+.2f coverage %.2f; mean date MAE %.2f",
				l.Days, l.N, l.MAE, l.MAE90.Low, l.MAE90.High, l.RMSE, l.Bias, l.CRPS, l.CRPSS, l.Coverage80, l.MAEMeanDate)
			inside[l.Days] += l.Coverage80 * float64(l.N)
			n[l.Days] += float64(l.N)
			own[l.Days] += l.CRPS * float64(l.N)
			climate[l.Days] += l.CRPS / (1 - l.CRPSS) * float64(l.N)
		}
	}
	for days, total := range n {
		share := inside[days] / total
		t.Logf("pooled, %2d days: %.3f of %.0f", days, share, total)
		require.InDelta(t, 0.8, share, 0.05, "%d days", days)
		require.Less(t, own[days], 1.02*climate[days], "%d days", days)
	}
}

// With all of the weather known nothing is left to the members: a hindcast made
// after the stage gives the model's own date.
func TestHindcastOfKnownWeather(t *testing.T) {
	s, years := openSite(t, openSites[3].id, openSites[3].lat)
	f, err := calibrate.New(years, calibrate.Options{})
	require.NoError(t, err)
	var past []forecast.PastYear
	for i, y := range years {
		day, ok := f.Folds[i].Season(y.Season)
		require.True(t, ok)
		past = append(past, forecast.PastYear{Year: y.Year, Seen: day, Model: f.Folds[i]})
	}
	leads, _, err := forecast.Hindcast(s, past, forecast.HindcastOptions{Weather: true, Leads: []int{-40, 30}})
	require.NoError(t, err)
	require.Len(t, leads, 2)
	require.InDelta(t, 0, leads[0].MAE, 1e-9)
	require.InDelta(t, 1, leads[0].Coverage80, 0.09)
	require.Greater(t, leads[1].MAE, 0.5)
	require.False(t, math.IsNaN(leads[1].CRPSS))
	require.Equal(t, phenology.ThermalTime, f.Folds[0].Sets[0].Stage.Family)
}
