package areal

import (
	"errors"
	"fmt"
	"math"

	"bloomtide/ingest/county"
	"bloomtide/ingest/weather"
)

// Options of Mean; zero fields mean the stated defaults.
type Options struct {
	Stations int     // the most stations used; default 8
	FarKm    float64 // how far they may lie from the middle of the place, km; default 150
	LapseK   float64 // fall of temperature with height, K/km; default: fitted, or 6.5
}

// Defaults, our own choices: beyond 150 km the weather of a spring day is
// another, and beyond eight stations little is gained.
const (
	defaultStations = 8
	defaultFarKm    = 150
)

func (o Options) filled() Options {
	if o.Stations <= 0 {
		o.Stations = defaultStations
	}
	if !(o.FarKm > 0) {
		o.FarKm = defaultFarKm
	}
	return o
}

// Source is a station behind a place.
type Source struct {
	Site  weather.Site
	Km    float64 // from the middle of the place
	RiseM float64 // above the place, NaN where either height is unknown
	Share float64 // of the place, 0..1
	Days  int     // usable days
}

// Result is the record of a place and what it rests on.
type Result struct {
	Series  weather.Series
	Sources []Source // the heaviest first
	Lapse   [2]Lapse // of the minimum and of the maximum
	Error   Error    // leaving out one station in turn
	Notes   []string // what a user should know
}

// ErrNoStation says that no station lies near enough.
var ErrNoStation = errors.New("no station with a known position and a year of days lies near enough to the place")

// fewestDays of a station, and in common with the reference: every season once.
const fewestDays = 365

// Mean returns the areal mean of a place. Site names the place and holds its
// middle; where its height is not known, that of the samples is taken, and
// where that is not known either, the place is taken to lie as high as its
// stations.
//
// A day counts as observed where one of its stations observed it, as estimated
// where all of them are estimates. Rain is that of the heaviest station that
// has it, since a mean of rain has too many wet days.
func Mean(site weather.Site, place []county.Sample, records []weather.Series, o Options) (Result, error) {
	o = o.filled()
	stations, notes := choose(site, records, o)
	if len(stations) == 0 {
		return Result{}, ErrNoStation
	}
	if math.IsNaN(site.ElevM) {
		site.ElevM = heightM(place)
	}
	place = atHeight(place, site.ElevM)
	stations, more := align(place, stations)
	r := Result{Notes: append(notes, more...)}
	for e := range r.Lapse {
		r.Lapse[e] = lapse(stations, e, o.LapseK)
	}
	w := weights(place, stations)
	if math.IsNaN(site.ElevM) {
		var note string
		if site.ElevM, note = heightOf(stations, w); note != "" {
			r.Notes = append(r.Notes, note)
		}
		place = atHeight(place, site.ElevM)
	}
	r.Series = mean(spot{site, place, w}, stations, r.Lapse)
	r.Sources = sources(site, stations, w)
	for _, s := range r.Sources {
		r.Series.Sources = append(r.Series.Sources, s.Site)
	}
	r.Error = leaveOneOut(stations, r.Lapse)
	return r, nil
}

// heightOf returns the weighed height of the stations, m, for a place whose
// own is not known, and says so where they lie at very different heights.
func heightOf(stations []*station, w []float64) (float64, string) {
	const differs = 100 // m, 0.65 K; our own choice
	var sum, weight float64
	low, high := math.Inf(1), math.Inf(-1)
	for i, s := range stations {
		if z := s.series.Site.ElevM; !math.IsNaN(z) {
			sum += w[i] * z
			weight += w[i]
			low, high = min(low, z), max(high, z)
		}
	}
	if high-low < differs || !(weight > 0) {
		return sum / weight, ""
	}
	return sum / weight, fmt.Sprintf("the height of the place is not known: it is taken as %.0f m, that of its stations, which lie from %.0f to %.0f m; give --elevation", sum/weight, low, high)
}

// atHeight gives the height of the whole place to parts without one.
func atHeight(place []county.Sample, elevM float64) []county.Sample {
	out := append([]county.Sample(nil), place...)
	for i := range out {
		if math.IsNaN(out[i].ElevM) {
			out[i].ElevM = elevM
		}
	}
	return out
}

// choose takes the nearest stations that have a year of days.
func choose(site weather.Site, records []weather.Series, o Options) (out []*station, notes []string) {
	sites := make([]weather.Site, len(records))
	for i, r := range records {
		sites[i] = r.Site
	}
	unplaced := 0
	for _, s := range sites {
		if !s.Located() {
			unplaced++
		}
	}
	if unplaced > 0 {
		notes = append(notes, fmt.Sprintf("%d stations are left out, since their files do not say where they stand", unplaced))
	}
	for _, i := range Nearest(site.Point, sites, len(sites), o.FarKm) {
		s := newStation(records[i])
		if s.days >= fewestDays && len(out) < o.Stations {
			out = append(out, s)
		}
	}
	return out, notes
}

// spot is where the stations are brought to.
type spot struct {
	site    weather.Site
	place   []county.Sample
	weights []float64
}

// mean brings the stations to a spot.
func mean(at spot, stations []*station, l [2]Lapse) weather.Series {
	out := weather.Series{Site: at.site, Start: stations[0].series.Start}
	end := stations[0].series.End()
	for _, s := range stations {
		out.Start, end = min(out.Start, s.series.Start), max(end, s.series.End())
	}
	out.Days = make([]weather.Day, end-out.Start)
	var norm [2]wave
	for e := range norm {
		norm[e] = usual(at, stations, l[e], e)
	}
	for i := range out.Days {
		d := out.Start + weather.Date(i)
		season := seasonOf(d)
		day := &out.Days[i]
		low, lowFlags := departure(stations, at.weights, d, season, 0)
		high, highFlags := departure(stations, at.weights, d, season, 1)
		day.Min, day.MinFlags = weather.Celsius(low+norm[0].at(season)), lowFlags
		day.Max, day.MaxFlags = weather.Celsius(high+norm[1].at(season)), highFlags
		if lowFlags == 0 {
			day.Min = 0
		}
		if highFlags == 0 {
			day.Max = 0
		}
		if lowFlags != 0 && highFlags != 0 && day.Min > day.Max {
			day.Min, day.Max = day.Max, day.Min // of an almost even day
		}
		rain(day, stations, at.weights, d)
	}
	return out
}

// departure returns the weighed mean, over the stations that have the day, of
// an extreme less what the station usually shows against the reference, °C.
func departure(stations []*station, w []float64, d weather.Date, season season, e int) (float64, weather.Flags) {
	var sum, weight float64
	flags := weather.Flags(0)
	for i, s := range stations {
		t, f := extreme(s.series.At(d), e)
		if !f.Usable() {
			continue
		}
		sum += w[i] * (float64(t) - s.usual[e].at(season))
		weight += w[i]
		if f&weather.Estimated == 0 {
			flags = weather.Observed
		} else if flags == 0 {
			flags = weather.Estimated
		}
	}
	if flags == 0 || !(weight > 0) {
		return 0, 0
	}
	return sum / weight, flags
}

func extreme(d weather.Day, e int) (weather.Celsius, weather.Flags) {
	if e == 0 {
		return d.Min, d.MinFlags
	}
	return d.Max, d.MaxFlags
}

// rain takes rain and wind of the heaviest station that has them.
func rain(day *weather.Day, stations []*station, w []float64, d weather.Date) {
	best, windiest := -1.0, -1.0
	for i, s := range stations {
		at := s.series.At(d)
		if at.RainFlags.Usable() && w[i] > best {
			best = w[i]
			day.RainMm, day.RainFlags = at.RainMm, at.RainFlags
		}
		if at.WindFlags.Usable() && w[i] > windiest {
			windiest = w[i]
			day.WindMs, day.WindFlags = at.WindMs, at.WindFlags
		}
	}
}
