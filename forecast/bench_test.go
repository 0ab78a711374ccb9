package forecast_test

import (
	"fmt"
	"testing"
	"time"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// manyPlants are 40 plants on four clocks, 12 of them with a stand.
func manyPlants() forecast.Apiary {
	a := forecast.Apiary{ID: "invented-valley", Name: "Invented Valley"}
	for i := range 40 {
		clock := phenology.Clock{
			Method:     phenology.Method{Double: i%2 == 0},
			Thresholds: phenology.Thresholds{Lower: 5, Upper: []weather.Celsius{0, 30}[i/2%2]},
		}
		name := fmt.Sprintf("invented plant %d", i)
		a.Plants = append(a.Plants, phenology.Model{
			Plant: name, Clock: clock, Onset: phenology.DegreeDays(50 + 30*i), BloomDays: 21, RelativeSD: 0.1,
		})
		if len(a.Stands) < 12 && i%3 == 0 {
			a.Stands = append(a.Stands, flow.Stand{Plant: name, Hectares: 10, PeakKgPerHaDay: 6})
		}
	}
	return a
}

// BenchmarkRun is a whole forecast: 30 members, 40 plants, 12 stands.
func BenchmarkRun(b *testing.B) {
	a, s, issue := manyPlants(), temperate.record(1990, 2025), day(2025, time.April, 10)
	f, err := forecast.Run(a, s, issue)
	if err != nil || len(f.Members) != 30 || len(a.Stands) != 12 || len(f.Tasks) < 10 {
		b.Fatal("not the case meant", err, len(f.Members), len(f.Tasks))
	}
	for b.Loop() {
		if _, err := forecast.Run(a, s, issue); err != nil {
			b.Fatal(err)
		}
	}
}
