// Package demo holds two invented counties with invented daily weather, so
// that the program can be tried without a record of one's own. Nothing here is
// real: neither the places nor a single day.
//
// Generate makes the weather from a seed; the files beside it are its output,
// kept so that the demo is read through the same door as a real record. Run
// go generate to write them again.
package demo

import (
	"embed"

	"bloomtide/ingest/weather"
)

//go:generate go run ./write

//go:embed *.csv.gz
var files embed.FS

// County is an invented place with the climate that its weather is drawn from.
type County struct {
	ID, Name string
	Seed     uint64
	Climate  Climate
}

// Quillmarsh and Sarnholt name the invented counties.
const (
	Quillmarsh = "quillmarsh"
	Sarnholt   = "sarnholt"
)

// Counties returns the two invented counties: a mild one near a sea, where
// forage follows forage, and one far inland, where summer comes at a stroke.
func Counties() []County {
	return []County{
		{ID: Quillmarsh, Name: "Quillmarsh County", Seed: 1, Climate: Climate{
			MeanC: 10.8, HalfRangeK: 7.0, ColdestDay: 24, YearK: 0.5, DayK: 2.4, Memory: 0.75, DailyRangeK: 8, WetShare: 0.38, RainMm: 5}},
		{ID: Sarnholt, Name: "Sarnholt County", Seed: 2, Climate: Climate{
			MeanC: 6.6, HalfRangeK: 16.0, ColdestDay: 18, YearK: 0.8, DayK: 3.8, Memory: 0.75, DailyRangeK: 12, WetShare: 0.25, RainMm: 7}},
	}
}

// The invented record: 30 whole years and the beginning of the next, up to the
// day before the demo's issue date.
var (
	firstDay = weather.YearMonthDay(1995, 1, 1)
	// Issue is the issue date of the demo, so that its answer is the same on
	// any day.
	Issue = weather.YearMonthDay(2025, 4, 10)
)

// File returns the invented record of a county, gzipped CSV with the columns
// date, tmin, tmax (°C) and rain (mm), and its name.
func File(id string) (name string, content []byte, err error) {
	name = id + ".csv.gz"
	content, err = files.ReadFile(name)
	return name, content, err
}
