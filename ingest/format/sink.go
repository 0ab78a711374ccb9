package format

import (
	"fmt"
	"math"

	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
)

// wettest bounds a day's rain, mm: the most ever measured in 24 hours is 1825
// at Foc-Foc, La Réunion, in 1966 (WMO archive of extremes, from memory).
const wettest = 2000

// windiest bounds a daily mean of wind, m/s. Our choice: above any gust ever
// measured, 113 at Barrow Island in 1996 (WMO archive of extremes, from memory).
const windiest = 120

// found is a number read from a cell.
type found struct {
	id       string
	date     weather.Date
	c        *bound
	value    float64 // as written
	rejected bool    // by the publisher
	line     int     // 0 for the present line
}

// sink takes what one line holds.
type sink struct {
	file       string
	line       int
	torn       bool // the present line is the last and has no end
	points     int  // temperatures met that are written with a decimal point
	rain       int  // amounts of rain met
	rainPoints int  // of those, written with a decimal point
	raw        bool // keep values as written and unchecked, to learn their unit
	out        []weather.Reading
	faults     []*weather.SyntaxError
	outOfRange int
	book       *book
}

// fault records that a field of the present line cannot be read.
func (s *sink) fault(column int, value []byte, what, mend string) {
	s.faults = append(s.faults, &weather.SyntaxError{
		File: s.file, Line: s.line, Column: column, Value: clip(value), What: what, Mend: mend,
	})
}

// add converts a number and keeps it where it is possible on earth.
func (s *sink) add(f found) {
	r := weather.Reading{
		Station: f.id, Date: f.date, Element: f.c.element,
		Value: f.value, Flags: weather.Observed, Line: s.line,
	}
	if f.line > 0 {
		r.Line = f.line
	}
	if f.rejected {
		r.Flags |= weather.Rejected
	}
	if s.raw {
		s.out = append(s.out, r)
		return
	}
	r.Value = f.c.scale.of(f.value)
	if temperature(f.c.element) {
		r.Value = f.c.unit.temperature().of(f.value)
	}
	if !f.rejected && !Possible(r.Element, r.Value) {
		s.outOfRange++
		what, mend := impossible(f, r.Value)
		s.fault(f.c.at+1, fmt.Append(nil, f.value), what, mend)
		return
	}
	s.out = append(s.out, r)
}

// Possible reports whether a value of an element, in its unit, can be on earth.
func Possible(e weather.Element, v float64) bool {
	switch e {
	case weather.Rain:
		return v >= 0 && v <= wettest
	case weather.Wind:
		return v >= 0 && v <= windiest
	default:
		return v >= float64(weather.Coldest) && v <= float64(weather.Hottest)
	}
}

// impossible words the fault of a value that cannot be.
func impossible(f found, v float64) (what, mend string) {
	switch f.c.element {
	case weather.Rain:
		return fmt.Sprintf("PRCP %.1f mm is outside 0..%d", v, wettest), "leave the cell empty where there is no value"
	case weather.Wind:
		return fmt.Sprintf("AWND %.1f m/s is outside 0..%d", v, windiest), "leave the cell empty where there is no value"
	}
	what = fmt.Sprintf("%s %.1f °C is outside %v..%v", f.c.element, v, weather.Coldest, weather.Hottest)
	written := math.Abs(f.value)
	switch {
	case f.c.doubt && f.value > 60 && f.value <= hottestF:
		mend = "is the file in °F? use --unit F"
	case f.c.doubt && written > hottestF && written <= 900:
		mend = "is the file in tenths of °C? use --unit tenths"
	default:
		mend = "correct the value or leave the cell empty"
	}
	return what, mend
}

// book keeps what is known of stations, in the order met.
type book struct {
	at    map[string]int
	sites []weather.Site
}

func newBook() *book { return &book{at: map[string]int{}} }

func (b *book) has(id string) bool {
	_, ok := b.at[id]
	return ok
}

// add keeps a site, or fills in what an earlier mention left open.
func (b *book) add(s weather.Site) {
	i, ok := b.at[s.ID]
	if !ok {
		b.at[s.ID] = len(b.sites)
		b.sites = append(b.sites, s)
		return
	}
	have := &b.sites[i]
	if have.Name == "" {
		have.Name = s.Name
	}
	if !have.Located() {
		have.Point = s.Point
	}
	if math.IsNaN(have.ElevM) {
		have.ElevM = s.ElevM
	}
}

// unknownSite is a site of which nothing but the identifier is known.
func unknownSite(id string) weather.Site {
	return weather.Site{ID: id, Point: weather.Nowhere(), ElevM: math.NaN()}
}

// place sets a position given in degrees, where it is on the globe.
func place(s *weather.Site, lat, lon float64) {
	if math.Abs(lat) <= 90 && math.Abs(lon) <= 360 {
		if lon > 180 {
			lon -= 360
		}
		s.Point = orb.Point{lon, lat}
	}
}

// height sets an elevation in metres, where it can be one: the shore of the
// Dead Sea lies at −430 m, no station stands above 9000 m.
func height(s *weather.Site, m float64) {
	if m > -500 && m < 9000 {
		s.ElevM = m
	}
}

// replace keeps a site instead of an earlier mention.
func (b *book) replace(s weather.Site) {
	if i, ok := b.at[s.ID]; ok {
		b.sites[i] = s
		return
	}
	b.add(s)
}
