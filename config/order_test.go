package config

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// smoothYear is an invented year: coldest about 20 January, warmest half a
// year later, 11 K between night and day. South of the equator it runs half a
// year late.
//
//	mean, swing  annual mean, °C, and half the distance from coldest to warmest, K
func smoothYear(latDeg, mean, swing float64) phenology.Season {
	s := phenology.Season{LatDeg: latDeg, Start: phenology.YearStart(latDeg, 2025)}
	for i := range 365 {
		t := mean - swing*math.Cos(2*math.Pi*float64(i-19)/365)
		s.Min = append(s.Min, weather.Celsius(t-5.5))
		s.Max = append(s.Max, weather.Celsius(t+5.5))
		s.RainMm = append(s.RainMm, 0)
	}
	return s
}

func fullBloom(t *testing.T, plant string, s phenology.Season) weather.Date {
	t.Helper()
	plants, err := Plants()
	require.NoError(t, err)
	p, ok := findPlant(plant, plants)
	require.True(t, ok, plant)
	b, ok := p.Model.Predict(p.Model.Clock.Sums(s), 2025)
	require.True(t, ok, "%s does not bloom in the year", plant)
	return b.Peak
}

// The order in which plants bloom is that of every bloom calendar of the
// north-eastern United States and central Europe: the sequences of the Ohio
// phenology calendar (Herms), of Lipiński's days after Norway maple, and of
// the honey plant dates in Lovell 1926.
func TestPlantsBloomInTheirOrder(t *testing.T) {
	sequences := map[string][]string{
		"Ohio calendar":           {"silver maple", "red maple", "Norway maple", "callery pear", "serviceberry", "redbud", "black cherry", "black locust", "multiflora rose", "catalpa", "small-leaved linden", "goldenraintree"},
		"days after Norway maple": {"Norway maple", "apple", "black locust", "raspberry", "large-leaved linden", "small-leaved linden", "goldenrod"},
		"keepers' year":           {"willow", "dandelion", "apple", "black locust", "white clover", "white sweet clover", "goldenrod", "aster"},
		"forest edge":             {"willow", "blackthorn", "hawthorn", "blackberry", "fireweed"},
	}
	climates := map[string]phenology.Season{
		"north": smoothYear(41, 10, 13),  // about as warm as Ohio
		"south": smoothYear(-41, 10, 13), // the same half a year later
	}
	for climate, season := range climates {
		for name, plants := range sequences {
			t.Run(climate+"/"+name, func(t *testing.T) {
				last, before := weather.Date(math.MinInt32), ""
				for _, plant := range plants {
					day := fullBloom(t, plant, season)
					require.Greaterf(t, int(day), int(last), "%s (%s) after %s (%s)", plant, day, before, last)
					last, before = day, plant
				}
			})
		}
	}
}

func TestEveryPlantOfTheTableBloomsSomewhere(t *testing.T) {
	plants, err := Plants()
	require.NoError(t, err)
	warm := smoothYear(36, 15, 11)
	for _, p := range plants {
		b, ok := p.Model.Predict(p.Model.Clock.Sums(warm), 2025)
		require.True(t, ok, p.Model.Plant)
		require.LessOrEqual(t, b.Onset, b.Peak, p.Model.Plant)
		require.Less(t, b.Peak, b.End, p.Model.Plant)
	}
}
