package archive

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"bloomtide/ingest/weather"

	"github.com/parquet-go/parquet-go/format"
	"github.com/paulmach/orb"
)

// Summary is what a file tells of its record without its days being read.
type Summary struct {
	Site  weather.Site
	First weather.Date // first day of the record
	Last  weather.Date // last day of the record
	Counts
}

// Counts says how good a record is.
type Counts struct {
	Usable    int // days with both extremes, neither rejected, in order
	Estimated int // of those, with an extreme that was filled in
	Rejected  int // extremes that publisher or checks rejected
	Rain      int // days with rain known
	Wind      int // days with wind known
}

// Days returns the days from first to last.
func (s Summary) Days() int { return int(s.Last-s.First) + 1 }

// Summarise counts the days of a series, as the archive would keep them.
func Summarise(s weather.Series) Summary {
	var c columns
	c.gather(s.Days)
	return Summary{Site: s.Site, First: s.Start, Last: s.End() - 1, Counts: count(&c)}
}

// count counts the days of columns in the order of elements.
func count(c *columns) Counts {
	var out Counts
	var low, high int
	for i := range c[0].flags {
		lf, hf, rf := weather.Flags(c[0].flags[i]), weather.Flags(c[1].flags[i]), weather.Flags(c[2].flags[i])
		if usable(lf)&usable(hf) != 0 && c[0].values[low] <= c[1].values[high] {
			out.Usable++
			if (lf|hf)&weather.Estimated != 0 {
				out.Estimated++
			}
		}
		low += int(c[0].levels[i])
		high += int(c[1].levels[i])
		out.Rejected += int((lf&weather.Rejected + hf&weather.Rejected) / weather.Rejected)
		out.Rain += usable(rf)
	}
	for _, f := range c[windAt].flags {
		out.Wind += usable(weather.Flags(f))
	}
	return out
}

// usable is 1 for flags that are, without a jump, which in a record with gaps is
// not to be foreseen.
func usable(f weather.Flags) int {
	return int((f/weather.Observed | f/weather.Estimated) & 1 &^ (f / weather.Rejected))
}

// Keys of the metadata.
const (
	keyStation   = "bloomtide.station"
	keyName      = "bloomtide.name"
	keyLat       = "bloomtide.latitude_deg"
	keyLon       = "bloomtide.longitude_deg"
	keyElev      = "bloomtide.elevation_m"
	keySources   = "bloomtide.sources"
	keyFirst     = "bloomtide.first_date"
	keyLast      = "bloomtide.last_date"
	keyUsable    = "bloomtide.usable_days"
	keyEstimated = "bloomtide.estimated_days"
	keyRejected  = "bloomtide.rejected_values"
	keyRain      = "bloomtide.rain_days"
	keyWind      = "bloomtide.wind_days"
)

// metadata writes the site and the counts of a series. What is not known is
// left out.
func metadata(s weather.Series, c Summary) []format.KeyValue {
	var out []format.KeyValue
	add := func(key, value string) { out = append(out, format.KeyValue{Key: key, Value: value}) }
	number := func(key string, v float64) {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			add(key, strconv.FormatFloat(v, 'f', -1, 64))
		}
	}
	add(keyStation, s.Site.ID)
	add(keyName, s.Site.Name)
	if s.Site.Located() {
		number(keyLat, s.Site.Point.Lat())
		number(keyLon, s.Site.Point.Lon())
	}
	number(keyElev, s.Site.ElevM)
	add(keySources, sourcesJSON(s.Sources))
	add(keyFirst, c.First.String())
	add(keyLast, c.Last.String())
	for _, n := range []struct {
		key   string
		count int
	}{{keyUsable, c.Usable}, {keyEstimated, c.Estimated}, {keyRejected, c.Rejected}, {keyRain, c.Rain}, {keyWind, c.Wind}} {
		add(n.key, strconv.Itoa(n.count))
	}
	return out
}

// lookup finds a value of the metadata.
type lookup func(key string) (value string, ok bool)

// summary reads what metadata wrote.
func summary(get lookup) (s Summary, err error) {
	s.Site = weather.Site{Point: weather.Nowhere(), ElevM: math.NaN()}
	id, ok := get(keyStation)
	if !ok || id == "" {
		return s, fmt.Errorf("%s is missing", keyStation)
	}
	s.Site.ID = id
	s.Site.Name, _ = get(keyName)
	r := reader{get: get}
	lat, lon := r.number(keyLat, 90), r.number(keyLon, 180)
	if !math.IsNaN(lat) && !math.IsNaN(lon) {
		s.Site.Point = orb.Point{lon, lat}
	}
	s.Site.ElevM = r.number(keyElev, math.MaxFloat64)
	s.First, s.Last = r.date(keyFirst), r.date(keyLast)
	s.Usable, s.Estimated = r.count(keyUsable), r.count(keyEstimated)
	s.Rejected, s.Rain = r.count(keyRejected), r.count(keyRain)
	if _, ok := get(keyWind); ok { // else of before wind was kept
		s.Wind = r.count(keyWind)
	}
	if r.err == nil && s.Last < s.First {
		r.err = fmt.Errorf("%s lies before %s", keyLast, keyFirst)
	}
	return s, r.err
}

// reader reads values of the metadata and keeps the first mistake.
type reader struct {
	get lookup
	err error
}

func (r *reader) fail(key, value string) {
	if r.err == nil {
		r.err = fmt.Errorf("%s cannot be %q", key, value)
	}
}

// number reads a number within ±most, NaN where there is none.
func (r *reader) number(key string, most float64) float64 {
	text, ok := r.get(key)
	if !ok {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(math.Abs(v) <= most) {
		r.fail(key, text)
		return math.NaN()
	}
	return v
}

func (r *reader) date(key string) weather.Date {
	text, _ := r.get(key)
	d, err := weather.ParseDate(text)
	if err != nil {
		r.fail(key, text)
	}
	return d
}

func (r *reader) count(key string) int {
	text, _ := r.get(key)
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		r.fail(key, text)
	}
	return n
}

// source is a site as the metadata write it; nil where something is unknown.
type source struct {
	ID   string   `json:"station"`
	Name string   `json:"name,omitempty"`
	Lat  *float64 `json:"latitude_deg,omitempty"`
	Lon  *float64 `json:"longitude_deg,omitempty"`
	Elev *float64 `json:"elevation_m,omitempty"`
}

func sourcesJSON(sites []weather.Site) string {
	out := make([]source, len(sites))
	known := func(v float64) *float64 {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil
		}
		return &v
	}
	for i, s := range sites {
		out[i] = source{ID: s.ID, Name: s.Name, Elev: known(s.ElevM)}
		if s.Located() {
			out[i].Lat, out[i].Lon = known(s.Point.Lat()), known(s.Point.Lon())
		}
	}
	b, err := json.Marshal(out)
	if err != nil { // neither NaN nor infinity is left to refuse
		return "[]"
	}
	return string(b)
}

func parseSources(text string) ([]weather.Site, error) {
	var in []source
	if err := json.Unmarshal([]byte(text), &in); err != nil {
		return nil, fmt.Errorf("%s: %w", keySources, err)
	}
	var out []weather.Site
	for _, s := range in {
		site := weather.Site{ID: s.ID, Name: s.Name, Point: weather.Nowhere(), ElevM: math.NaN()}
		if s.Lat != nil && s.Lon != nil {
			site.Point = orb.Point{*s.Lon, *s.Lat}
		}
		if s.Elev != nil {
			site.ElevM = *s.Elev
		}
		out = append(out, site)
	}
	return out, nil
}
