package format

import (
	"bytes"
	"strings"

	"bloomtide/ingest/weather"
)

// noaaExport is what NOAA's web pages hand out: station, name, day and the
// elements asked for, in °F and inches or in °C and mm under the same header.
// The older form has "GHCND:" before the station, STATION_NAME, days as
// YYYYMMDD, -9999 for missing and several stations in a file. Source: real
// files.
func noaaExport() layout {
	attr := func(e weather.Element, name string) column {
		return column{element: e, names: []string{name}, flag: name + "attributes", reject: secondPart, trace: true}
	}
	return layout{
		name: "NOAA web export", guess: webExport,
		need: []string{"station", "date"},
		id:   []string{"station"}, label: []string{"name", "stationname"},
		lat: []string{"latitude"}, lon: []string{"longitude"}, elev: []string{"elevation"},
		date:    [][]string{{"date"}},
		confirm: func(b []byte) bool { return isID(bytes.TrimPrefix(b, []byte("GHCND:"))) },
		fixID:   func(b []byte) string { return strings.TrimPrefix(text(b), "GHCND:") },
		columns: []column{
			attr(weather.TMax, "tmax"), attr(weather.TMin, "tmin"), attr(weather.TMean, "tavg"),
			attr(weather.Rain, "prcp"), attr(weather.Wind, "awnd"),
		},
	}
}

// noaaByID is the same with the station under the name id, as tools that read
// GHCN-Daily give it, mostly in tenths (common practice, no source).
func noaaByID() layout {
	l := noaaExport()
	l.need, l.id = []string{"id", "date"}, []string{"id"}
	return l
}

// lcd is NOAA's local climatological data: hours, and at the end of each day one
// line with the day's values; whole °F and inches until 2023, °C and mm since.
// Its documentation, from memory.
func lcd() layout {
	return layout{
		name: "NOAA local climatological data", guess: webExport,
		need: []string{"station", "date", "dailymaximumdrybulbtemperature", "dailyminimumdrybulbtemperature"},
		id:   []string{"station"}, label: []string{"name"},
		lat: []string{"latitude"}, lon: []string{"longitude"}, elev: []string{"elevation"},
		date: [][]string{{"date"}},
		columns: []column{
			{element: weather.TMax, names: []string{"dailymaximumdrybulbtemperature"}},
			{element: weather.TMin, names: []string{"dailyminimumdrybulbtemperature"}},
			{element: weather.TMean, names: []string{"dailyaveragedrybulbtemperature"}},
			{element: weather.Rain, names: []string{"dailyprecipitation"}, trace: true},
			{element: weather.Wind, names: []string{"dailyaveragewindspeed"}},
		},
	}
}

// oldFlag finds the quality flag that the older export prints behind a value:
// Measurement Flag, Quality Flag, Source Flag, Time of Observation, the same
// names behind each. Any letter says that the value failed a check. Source: the
// documentation that came with the export, from memory.
func (b *bound) oldFlag(header []heading) {
	if i := b.at + 2; i < len(header) && header[i-1].key == "measurementflag" && header[i].key == "qualityflag" {
		b.flagAt, b.reject = i, func(flag []byte) bool { return len(flag) > 0 }
	}
}

// gsod is NOAA's Global Summary of the Day, one file a station and year: °F,
// inches, knots; 9999.9, 999.9 and 99.99 for missing. A star in the attributes
// of an extreme says that it was taken from the hours, which does not make it
// wrong. Source: GSOD readme, from memory.
func gsod() layout {
	return layout{
		name: "NOAA GSOD by-station CSV", unit: F,
		need: []string{"station", "date", "temp", "max", "min", "dewp"},
		id:   []string{"station"}, label: []string{"name"},
		lat: []string{"latitude"}, lon: []string{"longitude"}, elev: []string{"elevation"},
		date: [][]string{{"date"}},
		columns: []column{
			{element: weather.TMax, names: []string{"max"}},
			{element: weather.TMin, names: []string{"min"}},
			{element: weather.TMean, names: []string{"temp"}},
			{element: weather.Rain, names: []string{"prcp"}, scale: inch, none: 99.99},
			{element: weather.Wind, names: []string{"wdsp"}, scale: knot},
		},
	}
}
