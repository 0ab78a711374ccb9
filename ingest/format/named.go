package format

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"bloomtide/ingest/weather"
)

// names that people and programs give to the columns of a plain CSV, as key
// makes them and without a unit. Collected by us; add what is missing.
var (
	dateNames = []string{
		"date", "day", "datum", "fecha", "jour", "tag", "obsdate", "observationdate", "datetime", "dateobs", "dato",
		"time", "timestamp", "localdate", "messdatum", "yyyymmdd", "referencetimestamp", "validdate", "dt",
		"data", "tid", "dia", "pvm", "kuupaev",
	}
	yearNames  = []string{"year", "yr", "yyyy", "jahr", "annee", "ano", "anne"}
	monthNames = []string{"month", "mo", "mm", "mon", "monat", "mois", "mes"}
	dayNames   = []string{"day", "dy", "dd", "dayofmonth", "tag", "jour", "dia", "mday"}
	ydayNames  = []string{"yday", "doy", "dayofyear", "julianday", "jday"}
	minNames   = []string{
		"tmin", "mintemp", "tempmin", "mint", "tn", "min", "minimum", "minimumtemperature", "temperatureminimum",
		"mintemperature", "temperaturemin", "airtempmin", "mintempair", "low", "lowtemp", "templow", "t2mmin",
		"temperature2mmin", "tnk", "tasmin", "airtemperaturemin", "minairtemp", "dailymin", "dailyminimum", "tmn",
		"minimumairtemperature", "lowtemperature", "tminimum", "mintp", "tlmin",
		"temperaturmin", "temperaturminimum", "minimaltemperatur", "tiefsttemperatur", "mintemperatur", "minimumtemperatur",
		"temperatureminimale", "temperaturemini", "tempmini", "temperaturaminima", "tempminima", "tempminimale", "minima", "minimale",
		"minimumtemperatuur", "mintemperatuur", "lagstatemperatur", "lagstetemperatur", "laegstetemperatur", "laveste", "minimumstemperatur",
		"temperaturaminimalna", "minlampotila", "alinlampotila",
	}
	maxNames = []string{
		"tmax", "maxtemp", "tempmax", "maxt", "tx", "max", "maximum", "maximumtemperature", "temperaturemaximum",
		"maxtemperature", "temperaturemax", "airtempmax", "maxtempair", "high", "hightemp", "temphigh", "t2mmax",
		"temperature2mmax", "txk", "tasmax", "airtemperaturemax", "maxairtemp", "dailymax", "dailymaximum", "tmx",
		"maximumairtemperature", "hightemperature", "tmaximum", "maxtp", "tlmax",
		"temperaturmax", "temperaturmaximum", "maximaltemperatur", "hochsttemperatur", "hoechsttemperatur", "maxtemperatur", "maximumtemperatur",
		"temperaturemaximale", "temperaturemaxi", "tempmaxi", "temperaturamaxima", "tempmaxima", "tempmaximale", "maxima", "maximale",
		"temperaturamassima", "tempmassima", "massima", "maximumtemperatuur", "maxtemperatuur", "hogstatemperatur", "hogstetemperatur",
		"hojestetemperatur", "maksimumstemperatur", "makstemp", "makstemperatur", "tempmaks", "temperaturamaksymalna", "ylinlampotila", "maxlampotila",
	}
	meanNames = []string{
		"tmean", "meantemp", "tempmean", "tavg", "avgtemp", "tempavg", "tg", "mean", "average", "meantemperature",
		"averagetemperature", "temperaturemean", "temperatureavg", "t2m", "tas", "tmk", "temperature2mmean",
	}
	hourNames = []string{"temperature", "temp", "temperature2m", "airtemp", "airtemperature", "ta", "t"}
	rainNames = []string{
		"rain", "precipitation", "prcp", "precip", "ppt", "rainfall", "pr", "rr", "rainmm", "precipmm",
		"precipitationmm", "precipitationsum", "rainsum", "pcp", "prec", "precipitations", "rainfallamount", "precipitationamount", "rainfallmm",
		"niederschlag", "niederschlagshoehe", "niederschlagssumme", "regen", "pluie", "precipitacion", "lluvia", "precipitacao", "chuva",
		"precipitazione", "precipitazioni", "pioggia", "neerslag", "nederbord", "nedbor", "opad", "sademaara",
	}
	windNames    = []string{"wind", "windspeed", "awnd", "ws", "windms", "meanwindspeed"}
	stationNames = []string{
		"station", "stationid", "stationsid", "siteid", "site", "id", "stn", "stationcode", "stationnumber", "staid",
		"climateid", "climateidentifier", "bureauofmeteorologystationnumber", "observationstation", "indicativo", "stasjon", "estacion",
	}
)

// namedName is the layout of a CSV whose columns the user has named.
const namedName = "CSV with named columns"

// plainLayout is the layout of any CSV with names that are understood.
func plainLayout() layout {
	return layout{
		name: "CSV with a header", guess: plain,
		id:    stationNames,
		label: []string{"name", "stationname", "sitename", "nombre", "navn"},
		lat:   []string{"latitude", "lat"}, lon: []string{"longitude", "lon", "lng", "long"},
		elev: []string{"elevation", "elev", "elevationm", "altitude", "alt", "elevm", "heightm", "altitud", "altitudine"},
		columns: []column{
			{element: weather.TMax, names: maxNames},
			{element: weather.TMin, names: minNames},
			{element: weather.TMean, names: meanNames},
			{element: weather.Rain, names: rainNames, trace: true},
			{element: weather.Wind, names: windNames},
		},
	}
}

// named looks for a header with names that are understood, or that the user
// has given.
func (f *File) named(name string, text [][]byte) (w *wide, at int, err error) {
	c := f.options.Columns
	var near error
	for at, line := range text {
		for _, delim := range delimiters {
			fields := split(nil, bytes.Clone(line), delim)
			if len(fields) < 2 {
				continue
			}
			w, err := plainHeader(name, at, fields, c)
			if w == nil {
				if near == nil {
					near = err
				}
				continue
			}
			w.delim, w.userFile = delim, true
			w.start(line)
			return w, at, nil
		}
	}
	if near == nil {
		near = noHeader(name, text)
	}
	return nil, 0, near
}

// plainHeader binds a header; w is nil where this is none, with an error where
// it is one that lacks a column.
func plainHeader(name string, at int, fields [][]byte, c Columns) (w *wide, err error) {
	l := plainLayout()
	h := canonical(headings(fields), &l)
	if missing := wanted(fields, h, c); missing != "" {
		return nil, &FileError{
			File: name, Line: at + 1,
			What: fmt.Sprintf("no column is named %q; the columns are %s", missing, list(fields)),
			Mend: "give the name as it stands in the header",
		}
	}
	named := c != (Columns{})
	if named {
		l.name = namedName
	}
	dates := []([][]string){
		{dateNames}, {yearNames, monthNames, dayNames}, {yearNames, ydayNames},
	}
	for i, d := range dates {
		l.date = d
		if i == 0 && find(h, yearNames) >= 0 && find(h, monthNames) >= 0 {
			continue // then "day" is the day of the month
		}
		if w, ok := l.bind(h, 0); ok {
			if w.id < 0 && (w.lat < 0 || w.lon < 0) {
				w.id = w.label // of several places in a file only the name tells
			}
			return w.temperatures(name, at, h, fields)
		}
	}
	if find(h, minNames) >= 0 && find(h, maxNames) >= 0 {
		return nil, &FileError{
			File: name, Line: at + 1, What: "no column is named like a date; the columns are " + list(fields),
			Mend: "name it with --date-column",
		}
	}
	return nil, nil
}

// temperatures checks that a bound header has extremes, or hours to take them
// from.
func (w *wide) temperatures(name string, at int, h []heading, fields [][]byte) (*wide, error) {
	i := find(h, minNames)
	j := find(h, maxNames)
	if i >= 0 || j >= 0 {
		return w, nil
	}
	if k := find(h, hourNames); k >= 0 && len(w.layout.date) == 1 {
		l := *w.layout
		l.name, l.hourly = "hourly CSV with a header", true
		l.columns = []column{
			{element: weather.TMean, names: hourNames},
			{element: weather.Rain, names: rainNames, trace: true},
		}
		byName := w.id
		w, _ = l.bind(h, 0)
		w.id = byName
		return w, nil
	}
	return nil, &FileError{
		File: name, Line: at + 1, What: "no column is named like a minimum or maximum temperature; the columns are " + list(fields),
		Mend: "name them with --tmin-column and --tmax-column",
	}
}

// wanted puts the user's names of columns in the place of ours, and returns
// the first that the header lacks.
func wanted(fields [][]byte, h []heading, c Columns) (missing string) {
	for _, u := range []struct {
		name string
		ours []string
	}{{c.Date, dateNames}, {c.TMin, minNames}, {c.TMax, maxNames}, {c.Rain, rainNames}} {
		if u.name == "" {
			continue
		}
		i := slices.IndexFunc(fields, func(b []byte) bool { return strings.EqualFold(text(trim(b)), strings.TrimSpace(u.name)) })
		if i < 0 {
			i = slices.IndexFunc(headings(fields), func(x heading) bool { return x.key == key([]byte(u.name)) })
		}
		if i < 0 {
			return u.name
		}
		for k := range h { // no other column may be taken for it
			if slices.Contains(u.ours, h[k].key) {
				h[k].key = ""
			}
		}
		h[i].key = u.ours[0]
	}
	return ""
}

// canonical takes a unit that is part of a name, as in tmax_f, off the name.
func canonical(h []heading, l *layout) []heading {
	known := func(s string) bool {
		if slices.Contains(hourNames, s) {
			return true
		}
		return slices.ContainsFunc(l.columns, func(c column) bool {
			return temperature(c.element) && slices.Contains(c.names, s)
		})
	}
	for i, x := range h {
		for _, unit := range []string{"fahrenheit", "celsius", "degf", "degc", "f", "c"} {
			if s, ok := strings.CutSuffix(x.key, unit); ok && x.unit == "" && known(s) && !known(x.key) {
				h[i] = heading{s, unit}
				break
			}
		}
		for _, u := range []struct{ as, unit string }{{"inches", "inch"}, {"inch", "inch"}, {"in", "inch"}, {"mmday", "mm"}, {"mm", "mm"}} {
			if s, ok := strings.CutSuffix(x.key, u.as); ok && x.unit == "" && slices.Contains(rainNames, s) && !slices.Contains(rainNames, x.key) {
				h[i] = heading{s, u.unit}
				break
			}
		}
	}
	return h
}

// list names the columns of a header for a message.
func list(fields [][]byte) string {
	var b strings.Builder
	for i, f := range fields {
		if i == 12 {
			b.WriteString(", …")
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(clip(trim(f)))
	}
	return b.String()
}

// countsLines reports whether the column taken for the station numbers the
// lines, as tables out of a database have it: no value of it and no date comes
// twice. Files of one day have a date twice, those of one station their station.
func (w *wide) countsLines(body [][]byte) bool {
	if !w.userFile || w.id < 0 {
		return false
	}
	ids, dates := map[string]bool{}, map[string]bool{}
	var f [][]byte
	for _, line := range body[:min(len(body), firstLines)] {
		f = split(f[:0], bytes.Clone(line), w.delim)
		if len(f) <= w.most || blank(f) {
			continue
		}
		id, date := string(trim(f[w.id])), string(w.dateCell(f))
		if ids[id] || dates[date] {
			return false
		}
		ids[id], dates[date] = true, true
	}
	return len(ids) >= fewLines
}

// fewLines is how many lines tell that a column numbers them, our choice.
const fewLines = 20
