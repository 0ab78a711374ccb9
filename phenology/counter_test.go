package phenology_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// tenths is an invented run of days in tenths of a degree about the seasons of
// a temperate place: −1 °C in January, 21 °C in July.
func tenths(days int, seed uint64) phenology.Season {
	r := rand.New(rand.NewPCG(seed, 1))
	s := phenology.Season{LatDeg: north, Start: weather.YearMonthDay(1985, 1, 1)}
	round := func(t float64) weather.Celsius { return weather.Celsius(math.Round(10*t) / 10) }
	for d := range days {
		mean := 10 - 11*math.Cos(2*math.Pi*float64(d-15)/365.25) + 4*r.NormFloat64()
		half := 1 + 7*r.Float64()
		s.Min, s.Max, s.RainMm = append(s.Min, round(mean-half)), append(s.Max, round(mean+half)), append(s.RainMm, 0)
	}
	return s
}

// A Counter is Clock.Sums, for every method and also where the days are no
// tenths.
func TestCounterIsClockSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var c phenology.Counter
		for _, s := range []phenology.Season{drawSeason(t), tenths(400, rapid.Uint64().Draw(t, "seed"))} {
			var clocks []phenology.Clock
			for _, limits := range []phenology.Thresholds{drawThresholds(t), uncapped(5), uncapped(-4.4), uncapped(12.34), capAt(10, 30), capAt(6, 6)} {
				clocks = append(clocks, phenology.Clock{Thresholds: limits}, phenology.Clock{Method: drawMethod(t), Thresholds: limits})
			}
			for k, got := range c.Sums(clocks, s) {
				want := clocks[k].Sums(s)
				for i := range s.Len() + 1 {
					d := s.Start + weather.Date(i)
					require.InDelta(t, float64(want.At(d)), float64(got.At(d)), rounding)
				}
			}
		}
	})
}

// Forty plants on eight clocks: the shape of a large forage table.
func fortyPlants() []phenology.Model {
	var out []phenology.Model
	for i := range 40 {
		out = append(out, phenology.Model{
			Clock: phenology.Clock{Thresholds: uncapped(float64(i%8) + 2)}, BloomDays: 20,
			Onset: phenology.DegreeDays(60 + 17.3*float64(i)), Peak: phenology.DegreeDays(110 + 17.3*float64(i)),
		})
	}
	return out
}

// predictAll predicts every plant in every whole year of a season, which starts
// with a plant year, and hands the blooms to use.
func predictAll(c *phenology.Counter, plants []phenology.Model, s phenology.Season, use func(plant, year int, b phenology.Bloom, ok bool)) {
	c.Blooms(plants, s, s.Start.Year(), phenology.YearOf(s.LatDeg, s.End())-1, use)
}

// The fast way gives the same dates, all of them.
func TestCounterGivesTheSameDates(t *testing.T) {
	var c phenology.Counter
	plants, n := fortyPlants(), 0
	for seed := range uint64(20) {
		s := tenths(40*365+10, seed)
		type at struct{ plant, year int }
		fast := map[at]phenology.Bloom{}
		predictAll(&c, plants, s, func(p, y int, b phenology.Bloom, _ bool) { fast[at{p, y}] = b })
		for p, m := range plants {
			sums := m.Clock.Sums(s)
			for y := range 40 {
				b, _ := m.Predict(sums, 1985+y)
				require.Equal(t, b, fast[at{p, 1985 + y}])
				n++
			}
		}
	}
	require.Equal(t, 20*40*40, n)
}

// Sums that grow day by day are those of the whole season.
func TestExtendIsCountingAnew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeason(t)
		clock := phenology.Clock{Method: drawMethod(t), Thresholds: drawThresholds(t)}
		var sums phenology.Sums
		for n := range s.Len() + 1 {
			part := s
			part.Min, part.Max, part.RainMm = s.Min[:n], s.Max[:n], s.RainMm[:n]
			sums = clock.Extend(sums, part)
			want := clock.Sums(part)
			for i := range n + 1 {
				require.Equal(t, want.At(s.Start+weather.Date(i)), sums.At(s.Start+weather.Date(i)))
			}
		}
	})
}

// Forty years and forty plants of one place on one core, counted from nothing
// and with the sines of an earlier place: issue 4.6 asks for less than a
// millisecond.
func BenchmarkOnePlace40Years40Plants(b *testing.B) {
	plants, s := fortyPlants(), tenths(40*365+10, 7)
	b.Run("from nothing", func(b *testing.B) {
		for b.Loop() {
			var c phenology.Counter
			predictAll(&c, plants, s, func(int, int, phenology.Bloom, bool) {})
		}
	})
	b.Run("again", func(b *testing.B) {
		var c phenology.Counter
		for b.Loop() {
			predictAll(&c, plants, s, func(int, int, phenology.Bloom, bool) {})
		}
	})
	b.Run("each clock by itself", func(b *testing.B) { // what a Counter saves
		for b.Loop() {
			sums := map[phenology.Clock]phenology.Sums{}
			for _, m := range plants {
				if _, ok := sums[m.Clock]; !ok {
					sums[m.Clock] = m.Clock.Sums(s)
				}
				for y := range 40 {
					m.Predict(sums[m.Clock], 1985+y)
				}
			}
		}
	})
}

// 3,100 counties of forty years and forty plants on all cores: issue 4.6 asks
// for less than two seconds on two. The counties share 31 records.
func BenchmarkCounties3100(b *testing.B) {
	plants := fortyPlants()
	var records []phenology.Season
	for seed := range uint64(31) {
		records = append(records, tenths(40*365+10, seed))
	}
	for b.Loop() {
		next := make(chan int)
		done := make(chan int)
		const workers = 2
		for range workers {
			go func() {
				var c phenology.Counter
				n := 0
				for i := range next {
					predictAll(&c, plants, records[i%len(records)], func(int, int, phenology.Bloom, bool) { n++ })
				}
				done <- n
			}()
		}
		for i := range 3100 {
			next <- i
		}
		close(next)
		n := 0
		for range workers {
			n += <-done
		}
		if n != 3100*40*40 {
			b.Fatal(n)
		}
	}
}

// One more day behind thirty years and more: the record grows day by day, and
// begins again at thirty years when forty are reached.
func BenchmarkExtendOneDay(b *testing.B) {
	clock := phenology.Clock{Thresholds: uncapped(5)}
	s := tenths(40*365, 7)
	first := func(n int) phenology.Season {
		part := s
		part.Min, part.Max, part.RainMm = s.Min[:n], s.Max[:n], s.RainMm[:n]
		return part
	}
	const thirty = 30 * 365
	kept, n := clock.Sums(first(thirty)), thirty
	for b.Loop() {
		if n++; n > s.Len() {
			kept, n = clock.Sums(first(thirty)), thirty+1
		}
		kept = clock.Extend(kept, first(n))
	}
}
