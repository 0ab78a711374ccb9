package calibrate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// Computed outside this project: ../shared/science/PHENOLOGY.md, section 4.3.
func TestShrinkCheckValues(t *testing.T) {
	for n, want := range map[float64]calibrate.Belief{
		0:  {Mean: 300, SD: 40},
		1:  {Mean: 335.955056, SD: 21.199958, Trust: .719101},
		3:  {Mean: 344.239631, SD: 13.576885},
		10: {Mean: 348.120301, SD: 7.755667},
	} {
		got := calibrate.Shrink(calibrate.Prior{Mean: 300, SD: 40}, calibrate.Sample{Mean: 350, SD: 25, N: n})
		require.InDelta(t, want.Mean, got.Mean, 0.5e-6)
		require.InDelta(t, want.SD, got.SD, 0.5e-6)
		if want.Trust > 0 {
			require.InDelta(t, want.Trust, got.Trust, 0.5e-6)
		}
		require.InDelta(t, math.Sqrt(got.SD*got.SD+25*25), got.Predicted, 1e-9)
	}
}

// invented returns years of random weather at a place, with the bloom that a
// known truth gives: 180 °C·d above 5 °C from 1 February by the plain average,
// and noise.
func invented(n int, lat, noise float64) []calibrate.Year {
	r := rand.New(rand.NewPCG(1, 2))
	truth := phenology.Stage{Family: phenology.ThermalTime, Start: 31, Need: 180, Clock: phenology.Clock{
		Method: phenology.Method{Curve: phenology.Average}, Thresholds: phenology.Thresholds{Lower: 5},
	}}
	out := make([]calibrate.Year, n)
	for i := range out {
		start := phenology.YearStart(lat, 2001+i)
		s := phenology.Season{LatDeg: lat, Start: start - phenology.LeadIn}
		warm := r.NormFloat64() * 2
		for d := range phenology.LeadIn + 300 {
			t := 9 - 11*math.Cos(2*math.Pi*float64(d-phenology.LeadIn-15)/365) + warm + r.NormFloat64()*3
			s.Min, s.Max = append(s.Min, weather.Celsius(t-5)), append(s.Max, weather.Celsius(t+5))
		}
		day, _ := phenology.Cross(truth.Progress(truth.Rates(s, nil), nil), truth.Need)
		out[i] = calibrate.Year{Year: 2001 + i, Season: s, Seen: math.Round(day + noise*r.NormFloat64()), Winter: true}
	}
	return out
}

// A fit finds a known truth again to little more than the noise put in, on both
// halves of the earth alike.
func TestFitFindsAKnownTruth(t *testing.T) {
	for _, lat := range []float64{45, -45} {
		years := invented(15, lat, 1)
		f, err := calibrate.New(years, calibrate.Options{Method: phenology.Method{Curve: phenology.Average}})
		require.NoError(t, err)
		require.False(t, f.Model.Fixed)
		require.Less(t, rmse(f.Errors), 2.0, "noise of 1 day, rounding and 14 years")
		require.Greater(t, rmse(f.MeanDate), 4.0)
		require.Equal(t, "mean date", f.Scores[0].Name)
		chosen := 0
		for _, s := range f.Scores {
			if s.Chosen {
				chosen++
				require.Equal(t, f.Model.Name, s.Name)
			}
		}
		require.Equal(t, 1, chosen)
	}
}

// The known truth starts on 1 February, between the biofixes of the grid, which
// stand seven days apart: the simplex finds a model between its points that is
// as good as days rounded to whole ones allow, a standard deviation of 1/√12 day,
// and the same one every time.
func TestFitLooksBetweenThePointsOfTheGrid(t *testing.T) {
	for _, lat := range []float64{45, -45} {
		years := invented(7, lat, 0) // thermal time alone
		o := calibrate.Options{Method: phenology.Method{Curve: phenology.Average}}
		f, err := calibrate.New(years, o)
		require.NoError(t, err)
		inside := func(g phenology.Stage) float64 {
			var e []float64
			for _, y := range years {
				day, ok := calibrate.Model{Sets: []calibrate.Weighted{{Stage: g, Weight: 1}}}.Season(y.Season)
				require.True(t, ok)
				e = append(e, day-y.Seen)
			}
			return rmse(e)
		}
		found := 0
		for _, k := range f.Model.Sets {
			lower := float64(k.Stage.Clock.Thresholds.Lower)
			if k.Stage.Start%7 == 0 && math.Mod(2*lower, 1) == 0 {
				continue
			}
			found++
			require.Less(t, inside(k.Stage), 1.25/math.Sqrt(12), "seven years")
			require.InDelta(t, 5, lower, 2)
			require.InDelta(t, 31, k.Stage.Start, 21)
		}
		require.Equal(t, 1, found)

		again, err := calibrate.New(years, o)
		require.NoError(t, err)
		require.Equal(t, f.Model, again.Model)
		require.Equal(t, f.Errors, again.Errors)
	}
}

// Dates that have nothing to do with the weather: the mean date stands.
func TestFitStepsAsideForTheMean(t *testing.T) {
	years := invented(20, 45, 0)
	r := rand.New(rand.NewPCG(5, 5))
	for i := range years {
		years[i].Seen = 120 + math.Round(4*r.NormFloat64())
	}
	f, err := calibrate.New(years, calibrate.Options{})
	require.NoError(t, err)
	require.True(t, f.Model.Fixed, f.Model.Name)
	require.LessOrEqual(t, rmse(f.Errors), 1.25*rmse(f.MeanDate), "choosing among families must not cost much")
}

// Few years: a row of the table is shifted, the further the more years there are.
func TestFitWithFewYears(t *testing.T) {
	years := invented(2, 45, 0)
	r := row(phenology.Average, 5, 31, 260) // needs 80 °C·d more than the truth
	_, err := calibrate.New(nil, calibrate.Options{Row: &r})
	require.ErrorIs(t, err, calibrate.ErrNoYears)

	one, err := calibrate.New(years[:1], calibrate.Options{Row: &r})
	require.NoError(t, err)
	require.Equal(t, "table row, shifted", one.Model.Name)
	require.Less(t, one.Model.Shift, 0.0)
	require.Zero(t, one.Folds[0].Shift, "without its one year nothing is known")
	require.True(t, math.IsNaN(one.MeanDate[0]))

	two, err := calibrate.New(years, calibrate.Options{Row: &r})
	require.NoError(t, err)
	require.Greater(t, two.Model.Trust, one.Model.Trust)
	require.Less(t, two.Model.Shift, one.Model.Shift)

	none, err := calibrate.New(years, calibrate.Options{})
	require.NoError(t, err)
	require.True(t, none.Model.Fixed, "two years and no row: their mean")
}

func TestNewYearWithoutWeather(t *testing.T) {
	s := weather.Series{Site: weather.Site{ID: "x", Point: [2]float64{0, 45}}, Start: weather.YearMonthDay(2020, 1, 1), Days: make([]weather.Day, 400)}
	d := weather.YearMonthDay(2020, 4, 20)
	_, err := calibrate.NewYear(s, calibrate.Seen{Day: d, Till: d})
	var missing *calibrate.NoWeatherError
	require.ErrorAs(t, err, &missing)
	require.Equal(t, 2020, missing.Year)
	require.ErrorContains(t, err, "no weather for 2020")
}

func BenchmarkFit(b *testing.B) {
	years := invented(20, 45, 1)
	for b.Loop() {
		if _, err := calibrate.New(years, calibrate.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
