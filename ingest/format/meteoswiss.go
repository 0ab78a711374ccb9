package format

import "bloomtide/ingest/weather"

// meteoSwiss is the Swiss weather service's daily file: semicolons, °C, "-"
// for missing in the older form; tre200 are the measured, ths200 the
// homogenised extremes 2 m above ground. Source: the publisher's list of
// parameters, from memory, and real files.
func meteoSwiss() layout {
	return layout{
		name: "MeteoSwiss daily", unit: C,
		need:    []string{"natabbr", "termin"},
		id:      []string{"natabbr"},
		date:    [][]string{{"termin"}},
		columns: swissColumns(),
	}
}

// meteoSwissOpen is the form of the open-data service and of the older climate
// network: other names for station and day.
func meteoSwissOpen() layout {
	l := meteoSwiss()
	l.name = "MeteoSwiss open data daily"
	l.need = nil
	l.id = []string{"stationabbr", "stn", "stationlocation"}
	l.date = [][]string{{"referencetimestamp", "time", "date"}}
	return l
}

func swissColumns() []column {
	return []column{
		{element: weather.TMax, names: []string{"tre200dx", "ths200dx"}},
		{element: weather.TMin, names: []string{"tre200dn", "ths200dn"}},
		{element: weather.TMean, names: []string{"tre200d0", "ths200d0"}},
		{element: weather.Rain, names: []string{"rre150d0", "rhs150d0", "rka150d0"}},
		{element: weather.Wind, names: []string{"fkl010d0"}},
	}
}
