package format

import "bloomtide/ingest/weather"

// The Australian Bureau of Meteorology's daily files hold one element each, so
// that maximum and minimum of a station are two files. Quality N says not yet
// checked, which does not make a value wrong; a value gathered over more than
// one day is rejected. Source: the note published with the files, from memory,
// and real files.
func bom(name string, c column) layout {
	l := layout{
		name: name, unit: C,
		need: []string{"productcode", "bureauofmeteorologystationnumber", c.names[0]},
		id:   []string{"bureauofmeteorologystationnumber"},
		date: [][]string{{"year"}, {"month"}, {"day"}},
	}
	l.columns = []column{bomHigh, bomLow, bomWet} // the others stand beside it where somebody has joined the files
	return l
}

var (
	bomHigh = column{
		element: weather.TMax, names: []string{"maximumtemperature"},
		flag: "daysofaccumulationofmaximumtemperature", reject: severalDays,
	}
	bomLow = column{
		element: weather.TMin, names: []string{"minimumtemperature"},
		flag: "daysofaccumulationofminimumtemperature", reject: severalDays,
	}
	bomWet = column{
		element: weather.Rain, names: []string{"rainfallamount"},
		flag: "periodoverwhichrainfallwasmeasured", reject: severalDays,
	}
)

func bomMax() layout  { return bom("BOM daily maximum", bomHigh) }
func bomMin() layout  { return bom("BOM daily minimum", bomLow) }
func bomRain() layout { return bom("BOM daily rain", bomWet) }

// severalDays reports whether a value stands for more than its own day.
func severalDays(b []byte) bool {
	n, ok := whole(b)
	return ok && n > 1
}
