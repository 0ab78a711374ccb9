package phenology

import (
	"fmt"
	"math"

	"bloomtide/ingest/weather"
)

// Season is an unbroken run of daily extremes at one place. It may start on
// any day and run over New Year, so that both hemispheres are ordinary.
type Season struct {
	LatDeg   float64 // degrees, north positive
	Start    weather.Date
	Min, Max []weather.Celsius // same length, Min ≤ Max, no missing value
	RainMm   []float64         // same length; NaN where rain is not known
	WindMs   []float64         // daily mean, same length or empty; NaN where wind is not known
}

// GapError tells where a series has no usable value, so that no Season can be
// made of it.
type GapError struct {
	Station  string
	From, To weather.Date // the first gap, To exclusive
	Missing  int          // days missing in all of the wanted range
	Wanted   int          // days wanted
}

// Error names the station, the first gap and how much is missing.
func (e *GapError) Error() string {
	return fmt.Sprintf("%s: no usable temperatures from %s to %s (%d of %d days missing)",
		e.Station, e.From, e.To-1, e.Missing, e.Wanted)
}

// NewSeason returns the days from (inclusive) to to (exclusive) of a series.
// It is the only door into the science: what comes out has a usable minimum
// and maximum on every day, or the error is a *GapError.
func NewSeason(s weather.Series, from, to weather.Date) (Season, error) {
	n := int(max(0, to-from))
	out := Season{
		LatDeg: s.Site.LatDeg(), Start: from,
		Min: make([]weather.Celsius, n), Max: make([]weather.Celsius, n), RainMm: make([]float64, n), WindMs: make([]float64, n),
	}
	gap := &GapError{Station: s.Site.ID, Wanted: n}
	for i := range n {
		d := from + weather.Date(i)
		day := s.At(d)
		out.Min[i], out.Max[i], out.RainMm[i] = day.Min, day.Max, math.NaN()
		out.WindMs[i] = math.NaN()
		if day.RainFlags.Usable() {
			out.RainMm[i] = day.RainMm
		}
		if day.WindFlags.Usable() {
			out.WindMs[i] = day.WindMs
		}
		if !day.Usable() {
			gap.note(d)
		}
	}
	if gap.Missing > 0 {
		return Season{}, gap
	}
	return out, nil
}

// note counts a missing day and stretches the first gap while it lasts.
func (e *GapError) note(d weather.Date) {
	if e.Missing == 0 {
		e.From, e.To = d, d
	}
	if e.To == d {
		e.To = d + 1
	}
	e.Missing++
}

// Len returns the number of days.
func (s Season) Len() int { return len(s.Min) }

// End returns the day after the last.
func (s Season) End() weather.Date { return s.Start + weather.Date(len(s.Min)) }

// Extremes returns the extremes of day i, 0 ≤ i < Len. The last day has no
// tomorrow and uses its own minimum.
func (s Season) Extremes(i int) Extremes {
	e := Extremes{Min: s.Min[i], Max: s.Max[i], NextMin: s.Min[i]}
	if i+1 < len(s.Min) {
		e.NextMin = s.Min[i+1]
	}
	return e
}

// Wind returns the mean wind of day i, m/s, NaN where it is not known.
func (s Season) Wind(i int) float64 {
	if i >= len(s.WindMs) {
		return math.NaN()
	}
	return s.WindMs[i]
}

// Mean returns the mean of the extremes of day i, °C.
func (s Season) Mean(i int) weather.Celsius { return (s.Min[i] + s.Max[i]) / 2 }
