package phenology_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// BenchmarkHeat counts one day by each method, on days of every case.
func BenchmarkHeat(b *testing.B) {
	r := rand.New(rand.NewPCG(7, 7))
	days := make([]phenology.Extremes, 256)
	for i := range days {
		days[i] = randomDay(r)
	}
	for _, m := range curves {
		for _, cutoff := range cutoffs {
			m.Cutoff = cutoff
			b.Run(fmt.Sprint(m), func(b *testing.B) {
				i := 0
				for b.Loop() {
					m.Heat(days[i%len(days)], capAt(10, 30))
					i++
				}
			})
		}
	}
}

// benchSeason is one invented year of days.
func benchSeason() phenology.Season {
	r := rand.New(rand.NewPCG(7, 7))
	s := phenology.Season{LatDeg: north, Start: weather.YearMonthDay(2025, 1, 1)}
	for range 365 {
		d := randomDay(r)
		s.Min, s.Max, s.RainMm = append(s.Min, d.Min), append(s.Max, d.Max), append(s.RainMm, 0)
	}
	return s
}

func BenchmarkSums(b *testing.B) {
	s := benchSeason()
	for _, m := range curves {
		clock := phenology.Clock{Method: m, Thresholds: capAt(10, 30)}
		b.Run(fmt.Sprint(m), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				clock.Sums(s)
			}
		})
	}
}

func BenchmarkPredict(b *testing.B) {
	m := phenology.Model{
		Clock: phenology.Clock{Method: singleSine, Thresholds: capAt(10, 30)},
		Onset: 400, Peak: 500, End: 900, BloomDays: 20,
	}
	sums := m.Clock.Sums(benchSeason())
	b.ReportAllocs()
	for b.Loop() {
		m.Predict(sums, 2025)
	}
}

func BenchmarkNewSeason(b *testing.B) {
	s := steady(b, "2025-01-01", 365, observed(2, 12))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := phenology.NewSeason(s, s.Start, s.End()); err != nil {
			b.Fatal(err)
		}
	}
}
