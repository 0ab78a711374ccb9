package calibrate

import (
	"fmt"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Seen is one stage of one plant as it was seen in one year.
type Seen struct {
	Day  weather.Date // last day on which it had not come, or the day itself
	Till weather.Date // first day on which it had; equal to Day where the day is known
}

// Middle returns the day to fit to: the middle of the interval.
func (s Seen) Middle() float64 { return float64(s.Day) + float64(s.Till-s.Day)/2 }

// Year is one observed year with its weather.
type Year struct {
	Year   int              // plant year
	Season phenology.Season // from LeadIn days before the plant year on
	Seen   float64          // day of the plant year, 0 for its first
	Winter bool             // the days before the plant year are of the record

	chill []float64 // chill portions of each day, nil: not counted yet
}

// NoWeatherError tells that a year of observations has no weather to go with.
type NoWeatherError struct {
	Year int
	Gap  *phenology.GapError
}

// Error names the year and what is missing.
func (e *NoWeatherError) Error() string {
	return fmt.Sprintf("no weather for %d: %v", e.Year, e.Gap)
}

// NewYear joins an observation with its weather. The weather must be whole from
// the start of the plant year to the day it was seen; what is missing after it
// is left off, and a winter that is not of the record is filled with the first
// day and marked. The error is a *NoWeatherError.
func NewYear(s weather.Series, seen Seen) (Year, error) {
	lat := s.Site.LatDeg()
	y := phenology.YearOf(lat, seen.Till)
	start := phenology.YearStart(lat, y)
	season, winter, err := window(s, start, seen.Till+1)
	if err != nil {
		return Year{}, &NoWeatherError{y, err}
	}
	return Year{Year: y, Season: season, Seen: seen.Middle() - float64(start), Winter: winter}, nil
}

// window returns the days from LeadIn before the start of a plant year to its
// end or to where the record ends after need.
func window(s weather.Series, start, need weather.Date) (season phenology.Season, winter bool, gap *phenology.GapError) {
	to := start + 365
	for to > need && s.Usable(need, to) < int(to-need) {
		to--
	}
	from, winter := start-phenology.LeadIn, true
	season, err := phenology.NewSeason(s, from, to)
	if err == nil {
		return season, winter, nil
	}
	season, err = phenology.NewSeason(s, start, to)
	if err != nil {
		return season, false, err.(*phenology.GapError)
	}
	return padded(season), false, nil
}

// Window returns the days from LeadIn before the start of a plant year to its
// end, or to where the record ends after need. The error is a
// *phenology.GapError.
func Window(s weather.Series, start, need weather.Date) (phenology.Season, error) {
	season, _, gap := window(s, start, need)
	if gap != nil {
		return season, gap
	}
	return season, nil
}

// padded puts LeadIn copies of the first day before a season, so that all
// seasons have the same shape.
func padded(s phenology.Season) phenology.Season {
	pad := func(x []weather.Celsius) []weather.Celsius {
		out := make([]weather.Celsius, phenology.LeadIn, phenology.LeadIn+len(x))
		for i := range out {
			out[i] = x[0]
		}
		return append(out, x...)
	}
	s.Min, s.Max, s.RainMm = pad(s.Min), pad(s.Max), nil
	s.Start -= phenology.LeadIn
	return s
}
