package phenology_test

import (
	"fmt"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Row 11 of table 7 of Zalom et al. 1983: 50 to 101 °F, tomorrow 48 °F, between
// 55 and 90 °F. The table prints 19.56, 19.19, 18.95 and 18.69 °F·d.
func ExampleMethod_Heat() {
	f := weather.FromFahrenheit
	day := phenology.Extremes{Min: f(50), Max: f(101), NextMin: f(48)}
	limits := phenology.Thresholds{Lower: f(55), Upper: f(90)}
	for _, name := range []string{"single triangle", "double triangle", "single sine", "double sine"} {
		m, err := phenology.ParseMethod(name)
		if err != nil {
			fmt.Println(err)
			return
		}
		c := m.Heat(day, limits)
		fmt.Printf("%-15s %.2f °C·d = %.2f °F·d\n", name, c, c/phenology.PerFahrenheit)
	}
	// Output:
	// single triangle 10.87 °C·d = 19.56 °F·d
	// double triangle 10.66 °C·d = 19.19 °F·d
	// single sine     10.53 °C·d = 18.95 °F·d
	// double sine     10.38 °C·d = 18.69 °F·d
}

// An invented spring that warms by 0.2 K a day, and an invented plant.
func ExampleModel_Predict() {
	series := weather.Series{Site: weather.Site{ID: "Invented Ridge", Point: [2]float64{8, 47}}}
	series.Start = weather.YearMonthDay(2025, 1, 1)
	for i := range 181 {
		noon := weather.Celsius(2 + 0.2*float64(i))
		series.Days = append(series.Days, weather.Day{
			Min: noon - 10, Max: noon, MinFlags: weather.Observed, MaxFlags: weather.Observed,
		})
	}
	season, err := phenology.NewSeason(series, series.Start, series.End())
	if err != nil {
		fmt.Println(err)
		return
	}
	plant := phenology.Model{
		Plant:  "invented clover",
		Biofix: phenology.Biofix{Month: 3, Day: 1},
		Clock:  phenology.Clock{Thresholds: phenology.Thresholds{Lower: 5}}, // single sine
		Onset:  250, BloomDays: 28,
	}
	bloom, ok := plant.Predict(plant.Clock.Sums(season), 2025)
	fmt.Println(ok, bloom.Onset, bloom.Peak, bloom.End)

	plant.Onset = 5000
	_, ok = plant.Predict(plant.Clock.Sums(season), 2025)
	fmt.Println(ok)
	// Output:
	// true 2025-04-04 2025-04-18 2025-05-02
	// false
}
