package archive

import (
	"math"

	"bloomtide/ingest/weather"
)

// Merge joins a newer reading of a station's record with an older one. Where
// both have a value of an element on a day, the newer stands, since publishers
// correct their records, unless it was rejected or estimated and the older was
// observed. What the newer does not know of the site is taken from the older.
//
// Neither argument is changed. Merging the same series again changes nothing.
func Merge(old, latest weather.Series) weather.Series {
	if len(old.Days) == 0 {
		return latest
	}
	out := weather.Series{Site: site(old.Site, latest.Site), Start: old.Start, Sources: latest.Sources}
	if len(out.Sources) == 0 {
		out.Sources = old.Sources
	}
	for i, s := range out.Sources {
		if s.ID == out.Site.ID {
			out.Sources = append([]weather.Site(nil), out.Sources...)
			out.Sources[i] = out.Site
		}
	}
	end := old.End()
	if len(latest.Days) > 0 {
		out.Start, end = min(old.Start, latest.Start), max(end, latest.End())
	}
	out.Days = make([]weather.Day, end-out.Start)
	copy(out.Days[old.Start-out.Start:], old.Days)
	for i := range latest.Days {
		d := &out.Days[int(latest.Start-out.Start)+i]
		n := &latest.Days[i]
		if better(n.MinFlags, d.MinFlags) {
			d.Min, d.MinFlags = n.Min, n.MinFlags
		}
		if better(n.MaxFlags, d.MaxFlags) {
			d.Max, d.MaxFlags = n.Max, n.MaxFlags
		}
		if better(n.RainFlags, d.RainFlags) {
			d.RainMm, d.RainFlags = n.RainMm, n.RainFlags
		}
		if better(n.WindFlags, d.WindFlags) {
			d.WindMs, d.WindFlags = n.WindMs, n.WindFlags
		}
	}
	return out
}

// better reports whether a newer value takes the place of an older one.
func better(latest, old weather.Flags) bool {
	switch {
	case latest == 0:
		return false
	case !latest.Usable():
		return !old.Usable()
	case latest&weather.Estimated != 0:
		return !old.Usable() || old&weather.Estimated != 0
	}
	return true
}

// site joins what is known of a station.
func site(old, latest weather.Site) weather.Site {
	out := latest
	if out.Name == "" {
		out.Name = old.Name
	}
	if !out.Located() {
		out.Point = old.Point
	}
	if math.IsNaN(out.ElevM) {
		out.ElevM = old.ElevM
	}
	return out
}
