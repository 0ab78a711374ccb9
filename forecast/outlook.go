package forecast

import (
	"math"
	"math/rand/v2"

	"bloomtide/ingest/weather"
)

// Outlook is near-term weather as a weather service foresees it. Days of the
// past that it may hold fill the gap between the record and the issue date,
// and tell how far its place lies from the record's.
type Outlook struct {
	Days weather.Series

	// Made is the first day that was foreseen when it was made. Zero: the issue
	// date. An outlook made after the issue date is not looked at.
	Made weather.Date
}

// OutlookUse says what an outlook gave.
type OutlookUse struct {
	Ahead   int          // days from the issue date on; 0: none was used
	Until   weather.Date // last of them
	Bridged int          // days before the issue date that the record lacks
	Common  int          // days that the record has too

	MinK, MaxK float64 // added to its extremes, so that those days agree on average, K
}

// Doubt of an outlook: the standard deviation of its error grows evenly from
// that of the first to that of the last day used. A past year misses by about
// as much as the last one, so that nothing is gained beyond it (PHENOLOGY
// section 5.1, an estimate there).
const (
	OutlookFirstK = 1.0 // K
	OutlookLastK  = 4.0 // K
	outlookDays   = 10  // d

	// leastCommon days tell the difference between two places to about half a
	// kelvin (our own choice).
	leastCommon = 10
)

// outlookSD is the doubt of a day foreseen, K; lead 1 is the day it was made.
func outlookSD(lead int) float64 {
	share := float64(lead-1) / (outlookDays - 1)
	return OutlookFirstK + (OutlookLastK-OutlookFirstK)*min(max(share, 0), 1)
}

// foresight is an outlook as members use it.
type foresight struct {
	Outlook
	use OutlookUse
}

// newForesight moves an outlook to the place of the record. It gives nothing
// where the outlook was made after the issue date, and says so.
func newForesight(o Outlook, past weather.Series, issue weather.Date) (f foresight, doubt string) {
	if o.Days.End() <= o.Days.Start {
		return f, ""
	}
	if o.Made == 0 {
		o.Made = issue
	}
	switch {
	case o.Made > issue:
		return f, "the outlook was made on " + o.Made.String() + ", after the issue date: it is not looked at"
	case o.Days.Usable(issue, min(o.Days.End(), o.Made+outlookDays)) == 0:
		return f, "the outlook of " + o.Made.String() + " foresees no day from the issue date on: it is not used"
	}
	f.Outlook = o
	var low, high float64
	for d := max(o.Days.Start, past.Start); d < min(o.Days.End(), issue); d++ {
		theirs, ours := o.Days.At(d), past.At(d)
		switch {
		case !theirs.Usable() || d >= o.Made:
		case ours.Usable():
			low, high = low+float64(ours.Min-theirs.Min), high+float64(ours.Max-theirs.Max)
			f.use.Common++
		}
	}
	if f.use.Common >= leastCommon {
		f.use.MinK, f.use.MaxK = low/float64(f.use.Common), high/float64(f.use.Common)
	}
	for d := o.Days.Start; d < o.Days.End(); d++ {
		if _, ok := f.day(d, 0); !ok || past.At(d).Usable() {
			continue
		}
		if d < issue {
			f.use.Bridged++
			continue
		}
		f.use.Ahead++
		f.use.Until = d
	}
	return f, ""
}

// day returns a day of the outlook for a member whose doubt is z standard
// deviations. All its days err alike, as a front that comes late does; that is
// more careful than errors that cancel.
func (f foresight) day(d weather.Date, z float64) (weather.Day, bool) {
	lead := int(d-f.Made) + 1
	day := f.Days.At(d)
	if !day.Usable() || lead > outlookDays {
		return weather.Day{}, false
	}
	off := 0.0
	if lead >= 1 {
		off = z * outlookSD(lead)
	}
	day.Min += weather.Celsius(f.use.MinK + off)
	day.Max += weather.Celsius(f.use.MaxK + off)
	if day.Min > day.Max {
		middle := (day.Min + day.Max) / 2
		day.Min, day.Max = middle, middle
	}
	day.MinFlags, day.MaxFlags = weather.Estimated, weather.Estimated
	return day, true
}

// outlookSeed deals the doubts of an outlook to the members.
const outlookSeed = 41

// doubts are evenly spaced quantiles of a standard normal distribution, dealt to
// n members in an order that is always the same.
func doubts(n int, seed uint64) []float64 {
	out := make([]float64, n)
	for i := range out {
		p := (float64(i) + 0.5) / float64(n)
		out[i] = math.Sqrt2 * math.Erfinv(2*p-1)
	}
	r := rand.New(rand.NewPCG(seed, uint64(n)))
	r.Shuffle(n, func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}
