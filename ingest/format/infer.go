package format

import (
	"fmt"
	"math"

	"bloomtide/ingest/weather"
)

// guess says how to find the unit of temperatures that a file does not name.
type guess uint8

const (
	fixed      guess = iota // the layout or the header says it
	webExport               // NOAA's web export: °F or °C under one header
	stationCSV              // tenths of °C, unless the values have decimals
	plain                   // °C, unless the values cannot be °C
)

// hottestF is the highest air temperature measured, in °F, rounded up to the
// next ten: 134 at Furnace Creek (WMO archive of extremes, from memory). A
// larger number is neither °C nor °F.
const hottestF = 140

// Limits of inference, our choices.
const (
	enough      = 60   // values from which a unit may be told
	few         = 0.02 // share of values that may be slips
	decimals    = 0.2  // share of values with decimals that shows degrees with tenths
	hottestMean = 36.0 // °C: the hottest place's annual mean is 34.6, Dallol, Pedgley 1967 (from memory)
)

// sample is what the values of a file look like as written.
type sample struct {
	n, hot, huge, fractions int
	warm                    int // values above 50
	points                  int // values written with a decimal point
	rain, rainPoints        int // amounts of rain, and those written with a point
	sum                     float64
}

func (s *sample) add(v float64) {
	s.n++
	s.sum += v
	if v > 50 {
		s.warm++
	}
	if v > 60 {
		s.hot++
	}
	if math.Abs(v) > hottestF {
		s.huge++
	}
	if v != math.Trunc(v) {
		s.fractions++
	}
}

func (s *sample) share(n int) float64 { return float64(n) / float64(max(1, s.n)) }

// take reads a head of lines for their temperatures as written.
func (s *sample) take(r rows, head [][]byte) {
	k := sink{raw: true, book: newBook()}
	for _, line := range head {
		k.out, k.faults = k.out[:0], nil
		r.row(line, &k)
		for _, v := range k.out {
			if temperature(v.Element) && v.Flags.Usable() {
				s.add(v.Value)
			}
		}
	}
	s.points += k.points
	s.rain += k.rain
	s.rainPoints += k.rainPoints
}

// unit tells the unit from the values, with the reason for a note. The unit is
// Auto where a plain file betrays that it is not in °C.
func (s *sample) unit(g guess) (u Unit, why string) {
	tenths := s.share(s.fractions) < few && s.share(s.huge) > few
	hot := s.share(s.hot) > few || s.n >= enough && s.sum/float64(s.n) > hottestMean
	switch g {
	case webExport:
		return s.export(tenths, hot)
	case stationCSV:
		return s.service()
	}
	if s.n < enough && s.share(s.hot) < 0.5 {
		return C, ""
	}
	if tenths || s.share(s.huge) > few {
		return Auto, "tenths"
	}
	if hot {
		return Auto, "F"
	}
	return C, ""
}

// export tells the unit of NOAA's web export, which prints whole °F or °C with
// one decimal, 24.0 included, and once printed tenths of °C.
func (s *sample) export(tenths, hot bool) (u Unit, why string) {
	switch {
	case s.n == 0:
		return C, "no temperature was seen"
	case tenths:
		return TenthsC, "whole numbers beyond any in °F"
	case hot:
		return F, fmt.Sprintf("%.0f%% of them are above 60, hotter than any place in °C", 100*s.share(s.hot))
	case s.share(s.fractions) > decimals, s.share(s.points) > 0.5:
		return C, "most have decimals and none is too hot for °C"
	default:
		return F, "whole numbers, as this export prints °F"
	}
}

// service tells the unit of a by-station file: tenths as NOAA keeps it, but
// °C or °F as its data service hands it out under the same header. Whole °F
// come with rain in inches, which needs decimals where tenths of a millimetre
// have none; without rain, a year that is never beyond ±14 °C in tenths, and
// above 6 °C for days, is taken for °F.
func (s *sample) service() (u Unit, why string) {
	switch {
	case s.n >= enough && s.share(s.fractions) > decimals, s.share(s.points) > 0.5:
		return C, "values have decimals, so they are not tenths"
	case s.huge == 0 && s.rain > 0 && 2*s.rainPoints > s.rain:
		return F, "whole numbers beside rain with decimals, as this service prints °F and inches"
	case s.huge == 0 && s.rain == 0 && s.n >= nearlyAYear && s.share(s.hot) > few:
		return F, fmt.Sprintf("none is beyond %d, which no year of tenths is where anything blooms", hottestF)
	}
	return TenthsC, ""
}

// nearlyAYear is how many extremes a year with some gaps has.
const nearlyAYear = 600

// setUnit settles the unit of every temperature column that the header left
// open. It returns an error where a plain file cannot be in °C.
func (w *wide) setUnit(f *File, o Options, s *sample) error {
	open := false
	for i := range w.columns {
		c := &w.columns[i]
		open = open || temperature(c.element) && c.unit == Auto
	}
	switch {
	case !open && o.Unit != Auto && !w.userFile && w.layout.unit != o.Unit:
		f.note("the unit %s was given, but this layout is in %s: read so", o.Unit, w.layout.unit)
		return nil
	case !open && o.Unit == Auto:
		return nil
	}
	u, why := o.Unit, "as told"
	if u == Auto || w.layout.guess == stationCSV {
		u, why = s.unit(w.layout.guess)
	}
	if err := s.denies(f.name, o.Unit); err != nil && w.userFile {
		return err
	}
	if u == Auto {
		return notCelsius(f.name, why, s)
	}
	for i := range w.columns {
		c := &w.columns[i]
		if temperature(c.element) && (c.unit == Auto || o.Unit != Auto && w.userFile) {
			c.unit = u
			c.doubt = u == C && w.layout.guess == plain
		}
	}
	w.companions(f, u)
	switch {
	case w.layout.guess == webExport && o.Unit == Auto:
		f.note("the unit is not in the file; read as %s because of %d values %s; use --unit if this is wrong", u, s.n, why)
	case w.layout.guess == plain && o.Unit == Auto:
		f.note("the unit is not in the file; read as °C; use --unit if this is wrong")
	case why != "" && o.Unit == Auto:
		f.note("read as %s: %s", u, why)
	}
	return nil
}

// companions sets the units of rain and wind that come with a unit of
// temperature: NOAA prints inches and miles an hour beside °F, mm and m/s
// beside °C, tenths beside tenths; a keeper who writes °F writes inches.
func (w *wide) companions(f *File, u Unit) {
	for i := range w.columns {
		if w.companion(&w.columns[i], u) {
			f.note("rain is read in inches, as goes with °F")
		}
	}
}

// companion does so for one column, and reports whether it was set to inches.
func (w *wide) companion(c *bound, u Unit) (inches bool) {
	switch {
	case temperature(c.element), w.layout.guess == plain && c.scale != asIs:
	case w.layout.guess != plain && u == C:
		c.scale = asIs
	case w.layout.guess != plain && u == TenthsC:
		c.scale = tenth
	case u == F && c.element == weather.Rain:
		c.scale = inch
		return true
	case u == F && w.layout.guess != plain && c.element == weather.Wind:
		c.scale = mileAnHour
	}
	return false
}

// aYear is how many extremes a year has.
const aYear = 2 * 365

// denies reports that values cannot be in the unit that the user gave. Tenths
// have no decimals; and where no day of a year is above 50 °F (10 °C) nothing
// blooms that bees work, since trees end where the warmest month's mean falls
// below 10 °C (Köppen, from memory).
func (s *sample) denies(file string, u Unit) error {
	switch {
	case u == TenthsC && s.n >= enough && s.share(s.fractions) > decimals:
		return &FileError{
			File: file, What: fmt.Sprintf("the temperatures cannot be tenths of °C: %d of %d have decimals", s.fractions, s.n),
			Mend: "use --unit C or --unit F",
		}
	case u == F && s.n >= aYear && s.warm == 0:
		return &FileError{
			File: file, What: fmt.Sprintf("the temperatures cannot be °F: none of %d is above 50, which is 10 °C", s.n),
			Mend: "is the file in °C? use --unit C",
		}
	}
	return nil
}

func notCelsius(file, unit string, s *sample) error {
	e := &FileError{File: file}
	mean := s.sum / float64(max(1, s.n))
	if unit == "F" {
		e.What = fmt.Sprintf("the temperatures cannot be °C: mean %.1f, %d of %d above 60", mean, s.hot, s.n)
		e.Mend = "is the file in °F? use --unit F"
		return e
	}
	e.What = fmt.Sprintf("the temperatures cannot be °C: mean %.1f, %d of %d beyond ±%d", mean, s.huge, s.n, hottestF)
	e.Mend = "is the file in tenths of °C? use --unit tenths"
	if mean > 230 && s.share(s.huge) > 0.99 { // 230..330 K is −43..57 °C
		e.Mend += "; if it is in kelvin, subtract 273.15 first"
	}
	return e
}
