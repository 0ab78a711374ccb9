package ingest

import (
	"fmt"

	"bloomtide/ingest/weather"
)

// PoorDataError says that a station's record cannot carry a forecast. It is no
// fault of the file's form.
type PoorDataError struct {
	Station     string
	Name        string
	Usable      int          // days with both extremes, estimates included
	Need        int          // days needed
	First, Last weather.Date // span of the record; both zero where it is empty
	BestShare   float64      // share of observed days in the fullest 365 days, 0..1
	Hint        string       // what else was met, such as the first bad line; may be empty
}

// Error names the station, what there is, what is needed and the mend.
func (e *PoorDataError) Error() string {
	who := e.Station
	if e.Name != "" && e.Name != e.Station {
		who += " (" + e.Name + ")"
	}
	var s string
	switch {
	case e.Usable == 0:
		s = fmt.Sprintf("%s: no day has both a minimum and a maximum", who)
	case e.Usable < e.Need:
		s = fmt.Sprintf("%s: %d usable days from %s to %s, at least %d are needed", who, e.Usable, e.First, e.Last, e.Need)
	default:
		s = fmt.Sprintf("%s: too much is missing from %s to %s: the fullest 365 days have %.0f%% observed, %.0f%% are needed",
			who, e.First, e.Last, 100*e.BestShare, 100*leastYearShare)
	}
	s += "; give a longer record or another station near by"
	if e.Hint != "" {
		s += " (" + e.Hint + ")"
	}
	return s
}
