package forecast

import (
	"math"
	"testing"
	"time"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// BenchmarkPredict runs 40 plants on one clock through 30 members, two plant
// years each.
func BenchmarkPredict(b *testing.B) {
	s := weather.Series{Site: weather.Site{Point: [2]float64{8, 45}}, Start: weather.YearMonthDay(1994, time.January, 1)}
	issue := weather.YearMonthDay(2025, time.April, 10)
	for d := s.Start; d < issue; d++ {
		mean := 10 - 11*math.Cos(2*math.Pi*float64(d)/365.25)
		s.Days = append(s.Days, weather.Day{
			Min: weather.Celsius(mean - 5), Max: weather.Celsius(mean + 5),
			MinFlags: weather.Observed, MaxFlags: weather.Observed,
		})
	}
	e, err := NewEnsemble(s, issue)
	if err != nil || len(e.Members) != maxMembers {
		b.Fatal(err, len(e.Members))
	}
	var plants []phenology.Model
	for i := range 40 {
		plants = append(plants, phenology.Model{
			Clock: phenology.Clock{Thresholds: phenology.Thresholds{Lower: 5}},
			Onset: phenology.DegreeDays(50 + 30*i), BloomDays: 21, RelativeSD: 0.1,
		})
	}
	for b.Loop() {
		predict(plants, e)
	}
}
