package phenology_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// shared reads a CSV file of the folder that lies beside the repository, and
// skips the test where there is none.
func shared(t testing.TB, name ...string) []map[string]string {
	path := filepath.Join(append([]string{"..", "..", "shared"}, name...)...)
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skipf("not checked: no file %s on this machine", path)
	}
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	out := make([]map[string]string, 0, len(rows)-1)
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func number(t testing.TB, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// observed is a day with both extremes read from a record.
func observed(lo, hi float64) weather.Day {
	return weather.Day{
		Min: weather.Celsius(lo), Max: weather.Celsius(hi),
		MinFlags: weather.Observed, MaxFlags: weather.Observed,
	}
}

// The fixture of ../shared/science/PHENOLOGY.md, section 4.6: invented weather
// of 20 years, days 1 to 200, and the bloom that a known truth gives with it.
const (
	fixtureLower = 5   // °C
	fixtureNeed  = 180 // °C·d by plain average
	fixtureNoise = 2   // days, the most by which bloom was moved
)

var fixtureModel = phenology.Model{
	Plant:  "fixture",
	Biofix: phenology.Biofix{Month: 2, Day: 1}, // day 32 of the year
	Clock:  phenology.Clock{Method: plain, Thresholds: phenology.Thresholds{Lower: fixtureLower}},
	Onset:  fixtureNeed, BloomDays: 10,
}

// fixtureYear is one year of the fixture.
type fixtureYear struct {
	year   int
	season phenology.Season
	bloom  weather.Date // as observed in the fixture
}

func readFixture(t testing.TB) []fixtureYear {
	byYear := map[int]*weather.Series{}
	for _, row := range shared(t, "science", "synthetic_temps.csv") {
		y, doy := int(number(t, row["year"])), int(number(t, row["doy"]))
		s := byYear[y]
		if s == nil {
			s = &weather.Series{Site: weather.Site{ID: "fixture", Point: [2]float64{0, 42}}, Start: weather.YearMonthDay(y, 1, 1)}
			byYear[y] = s
		}
		require.Equal(t, len(s.Days)+1, doy)
		s.Days = append(s.Days, observed(number(t, row["tmin"]), number(t, row["tmax"])))
	}
	var out []fixtureYear
	for _, row := range shared(t, "science", "synthetic_bloom.csv") {
		y := int(number(t, row["year"]))
		season, err := phenology.NewSeason(*byYear[y], byYear[y].Start, byYear[y].End())
		require.NoError(t, err)
		bloom := season.Start + weather.Date(number(t, row["bloom_doy"])) - 1
		out = append(out, fixtureYear{y, season, bloom})
	}
	return out
}

func TestPredictFixture(t *testing.T) {
	years := readFixture(t)
	require.Len(t, years, 20)
	var squares, sumGDD, sumGDD2, sumDOY float64
	moved := 0
	for _, y := range years {
		sums := fixtureModel.Clock.Sums(y.season)
		b, ok := fixtureModel.Predict(sums, y.year)
		require.True(t, ok)
		off := float64(y.bloom - b.Onset)
		require.LessOrEqual(t, math.Abs(off), float64(fixtureNoise), "%d: predicted %s, observed %s", y.year, b.Onset, y.bloom)
		if off != 0 {
			moved++
		}
		squares += off * off
		gdd := float64(sums.At(y.bloom+1) - sums.At(fixtureModel.Biofix.In(42, y.year)))
		sumGDD += gdd
		sumGDD2 += gdd * gdd
		sumDOY += float64(y.bloom.DayOfYear())
	}
	n := float64(len(years))
	// Computed outside this project: PHENOLOGY.md, sections 4.2 and 4.6.
	require.InDelta(t, 1.360, math.Sqrt(squares/n), 0.0005, "root mean square error, days")
	require.InDelta(t, 129.95, sumDOY/n, 1e-9, "mean day of bloom")
	require.InDelta(t, 183.8075, sumGDD/n, 0.5e-4, "mean heat through the day of bloom, °C·d")
	sd := math.Sqrt((sumGDD2 - sumGDD*sumGDD/n) / (n - 1))
	require.InDelta(t, 12.372383, sd, 0.5e-6, "its standard deviation, °C·d")
	require.Positive(t, moved, "the fixture's noise is gone")
}

// The same weather half a year later, south of the equator, must give the same
// bloom half a year later: the plant knows nothing of the calendar.
func TestPredictMirrorsTheHemispheres(t *testing.T) {
	for _, y := range readFixture(t) {
		north, ok := fixtureModel.Predict(fixtureModel.Clock.Sums(y.season), y.year)
		require.True(t, ok)
		shift := fixtureModel.Biofix.In(-42, y.year) - fixtureModel.Biofix.In(42, y.year)
		require.Equal(t, weather.YearMonthDay(y.year, 8, 1), fixtureModel.Biofix.In(42, y.year)+shift)
		mirrored := y.season
		mirrored.LatDeg, mirrored.Start = -42, y.season.Start+shift
		south, ok := fixtureModel.Predict(fixtureModel.Clock.Sums(mirrored), y.year)
		require.True(t, ok)
		require.Equal(t, north.Onset+shift, south.Onset)
		require.Equal(t, north.Peak+shift, south.Peak)
		require.Equal(t, north.End+shift, south.End)
		require.Equal(t, y.year, phenology.YearOf(-42, south.Onset))
		_, ok = fixtureModel.Predict(fixtureModel.Clock.Sums(y.season), y.year+1)
		require.False(t, ok, "the season ends before next year's biofix")
	}
}
