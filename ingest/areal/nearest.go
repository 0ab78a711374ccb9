package areal

import (
	"cmp"
	"math"
	"slices"

	"bloomtide/ingest/county"
	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
)

// earthKm is the mean radius of the earth, km (IUGG, from memory).
const earthKm = 6371.0088

// Km returns the great-circle distance of two points, km, by the haversine
// formula. It is NaN where either is not known.
func Km(a, b orb.Point) float64 {
	const rad = math.Pi / 180
	s := math.Sin((b.Lat() - a.Lat()) * rad / 2)
	t := math.Sin((b.Lon() - a.Lon()) * rad / 2)
	h := s*s + math.Cos(a.Lat()*rad)*math.Cos(b.Lat()*rad)*t*t
	return 2 * earthKm * math.Asin(math.Sqrt(min(1, h)))
}

// Nearest returns the indexes of up to n sites within farKm of a point, the
// nearest first; sites of one distance keep their order. Sites whose position
// is not known are left out. It looks at every site, 50 ns each, which is fast
// enough for the hundred thousand stations that the world has.
func Nearest(p orb.Point, sites []weather.Site, n int, farKm float64) []int {
	type hit struct {
		at int
		km float64
	}
	var hits []hit
	for i, s := range sites {
		if d := Km(p, s.Point); s.Located() && d <= farKm {
			hits = append(hits, hit{i, d})
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return cmp.Compare(a.km, b.km) })
	hits = hits[:min(max(n, 0), len(hits))]
	out := make([]int, len(hits))
	for i, h := range hits {
		out[i] = h.at
	}
	return out
}

// Point makes a place of one point; elevM is NaN where its height is unknown.
func Point(p orb.Point, elevM float64) []county.Sample {
	return []county.Sample{{Point: p, ElevM: elevM, Weight: 1}}
}

// heightM returns the mean height of a place, m, NaN where no part is known.
func heightM(place []county.Sample) float64 {
	var sum, weight float64
	for _, s := range place {
		if !math.IsNaN(s.ElevM) {
			sum += s.Weight * s.ElevM
			weight += s.Weight
		}
	}
	return sum / weight
}

// weights returns the share of each station in a place; they sum to 1.
func weights(place []county.Sample, stations []*station) []float64 {
	out := make([]float64, len(stations))
	row := make([]float64, len(stations))
	for _, spot := range place {
		var sum float64
		for i, s := range stations {
			row[i] = weight(spot, s)
			sum += row[i]
		}
		for i := range row {
			out[i] += spot.Weight * row[i] / sum
		}
	}
	return out
}

// Weights of a station, our own choices. Within nearKm distance hardly counts:
// the weather is the same and what differs is the site. A height scaleM away
// halves the weight, since a lapse rate of the day may be any. A record of
// halfYears years has half the weight of an endless one.
const (
	nearKm    = 10.0
	scaleM    = 500.0
	halfYears = 5.0
)

func weight(spot county.Sample, s *station) float64 {
	d := Km(spot.Point, s.series.Site.Point)
	w := 1 / (d*d + nearKm*nearKm)
	if rise := s.series.Site.ElevM - spot.ElevM; !math.IsNaN(rise) {
		w /= 1 + (rise/scaleM)*(rise/scaleM)
	}
	years := float64(s.days) / 365.25
	return w * years / (years + halfYears)
}
