package qc

import (
	"cmp"
	"fmt"
	"slices"

	"bloomtide/ingest/weather"
)

// Finding is one doubt about a station's record.
type Finding struct {
	Station  string
	Date     weather.Date
	Through  weather.Date    // last day, where it is about several; else Date
	Element  weather.Element // TMin or TMax
	Value    weather.Celsius // the value in doubt; of several, the first
	Check    string          // name of the check
	What     string          // what is odd, with numbers and units
	Mend     string          // what was done or may be done
	Rejected bool            // the values are marked and not used
}

// String writes the finding on one line.
func (f Finding) String() string {
	when := f.Date.String()
	if f.Through > f.Date {
		when += " to " + f.Through.String()
	}
	return fmt.Sprintf("%s: %s: %s %.1f °C: %s (%s); %s", f.Station, when, f.Element, float64(f.Value), f.What, f.Check, f.Mend)
}

// Check is one test.
type Check struct {
	Name     string // one word or two, as findings carry it
	Says     string // what it looks for
	Source   string // who proposed it
	Decisive bool   // it rejects values; else it only reports
	Near     bool   // it needs neighbours
	run      func(*work)
}

// Checks returns all checks in the order in which they run. Each sees what
// those before it have rejected as missing.
func Checks() []Check {
	const durre = "Durre et al. 2010"
	return []Check{
		{"limits", "outside of what was ever read on earth", durre + ", world records", true, false, limits},
		{"both zero", "both extremes 0 °C, or both 0 °F, in a month that is not so", durre + ", naught check; its limit by the month is ours", true, false, bothZero},
		{"repeated", "one value 20 days and more running", durre + ", streak check", true, false, repeated},
		{"order", "minimum above maximum on one day", durre + ", internal consistency", true, false, upsideDown},
		{"day to day", "minimum 1 K and more above the maximum of the day before or after", durre + ", internal consistency; reported only, since hours of reading may do it", false, false, dayToDay},
		{"copied month", "all days of a month as in another", durre + ", duplicate check; at least 20 days", false, false, copied},
		{"far apart", "10 K and more from every other value of the month", durre + ", gap check", true, false, gap},
		{"outlier", "6 robust standard deviations and more from the 15 days about it in all years", durre + ", climatological outlier check; rejected from 10 on, by our choice, since hot winds bring 6 in truth", true, false, outlier},
		{"spike", "25 K and more from both days beside it, to one side", durre + ", spike and dip check", true, false, spike},
		{"step", "25 K and more from the day before, and it stays", durre + "; reported only, by our choice", false, false, step},
		{"lag", "maximum 40 K and more above the lowest minimum of three days, or the like", durre + ", lagged range check; reported only, by our choice", false, false, lagRange},
		{"neighbours", "8 K and 4 standard deviations and more from what neighbours give", durre + ", spatial regression check; " + "Hubbard et al. 2005", true, true, spatial},
		{"shifted day", "fits its neighbours better a day later or earlier", "Vincent et al. 2009, for hours of reading; the test by correlation is ours", false, true, shifted},
		{"change point", "its level against others, or of its own range, changes and stays", "Alexandersson 1986; limits from Khaliq and Ouarda 2007", false, false, changes},
	}
}

// Options of Station; zero fields mean the stated defaults.
type Options struct {
	Neighbours []weather.Series // other stations near by, the nearest first; at most 8 are used
	UndoShift  bool             // move a shifted extreme back by its day
}

// Result is a tested record.
type Result struct {
	Series   weather.Series // a copy, with what is decided against marked Rejected
	Findings []Finding      // by date
	Rejected int            // values marked
	Counts   map[string]int // findings by check
}

// work is a record while it is tested.
type work struct {
	s        weather.Series
	o        Options
	check    Check
	findings []Finding
	rejected int
	columns  *columns
}

// mostNeighbours bounds the neighbours that are compared.
const mostNeighbours = 8

// Station runs every check on a record.
func Station(s weather.Series, o Options) Result {
	w := &work{s: s, o: o}
	w.s.Days = append([]weather.Day(nil), s.Days...)
	w.o.Neighbours = w.o.Neighbours[:min(mostNeighbours, len(w.o.Neighbours))]
	for _, c := range Checks() {
		if c.Near && len(w.o.Neighbours) == 0 {
			continue
		}
		w.check = c
		c.run(w)
	}
	r := Result{Series: w.s, Findings: w.findings, Rejected: w.rejected, Counts: map[string]int{}}
	slices.SortStableFunc(r.Findings, func(a, b Finding) int { return cmp.Compare(a.Date, b.Date) })
	for _, f := range r.Findings {
		r.Counts[f.Check]++
	}
	return r
}

// extremes is how many a day has: 0 minimum, 1 maximum.
const extremes = 2

// elements are the extremes in the order of their number here.
func elements() [2]weather.Element { return [2]weather.Element{weather.TMin, weather.TMax} }

// value returns an extreme (0 minimum, 1 maximum) of day i, and whether it is
// usable and observed.
func (w *work) value(i, e int) (float64, bool) {
	if i < 0 || i >= len(w.s.Days) {
		return 0, false
	}
	return of(w.s.Days[i], e)
}

func of(d weather.Day, e int) (float64, bool) {
	t, f := d.Min, d.MinFlags
	if e == 1 {
		t, f = d.Max, d.MaxFlags
	}
	return float64(t), f.Usable() && f&weather.Estimated == 0
}

// found notes a finding about days i up to to (exclusive) and, where the check
// is decisive, rejects them.
func (w *work) found(i, to, e int, what, mend string) {
	t, _ := w.value(i, e)
	f := Finding{
		Station: w.s.Site.ID, Date: w.s.Start + weather.Date(i), Through: w.s.Start + weather.Date(to-1),
		Element: elements()[e], Value: weather.Celsius(t), Check: w.check.Name, What: what, Mend: mend, Rejected: w.check.Decisive,
	}
	if f.Rejected {
		for j := i; j < to; j++ {
			w.reject(j, e)
		}
	}
	w.findings = append(w.findings, f)
}

// told notes a finding of a decisive check that is not sure this time.
func (w *work) told(i, to, e int, what, mend string) {
	c := w.check
	w.check.Decisive = false
	w.found(i, to, e, what, mend)
	w.check = c
}

func (w *work) reject(i, e int) {
	f := &w.s.Days[i].MinFlags
	if e == 1 {
		f = &w.s.Days[i].MaxFlags
	}
	if f.Usable() {
		w.rejected++
	}
	*f |= weather.Rejected
	w.columns = nil
}

// The mends that findings name.
const (
	notUsed = "it is not used"
	look    = "it is used; compare it with the station's sheet"
)
