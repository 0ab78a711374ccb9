package format_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// What comes behind the last line in memory is no part of it: with lines all of
// one length there stands the end of an older one.
func TestLastLineWithoutEndCountsOnce(t *testing.T) {
	var b strings.Builder
	for day := range weather.Date(60) {
		for station := range 200 {
			y, m, d := (19723 + day).YMD()
			fmt.Fprintf(&b, "QZ%09d,%04d%02d%02d,TMAX,123,,,7,0700\n", station, y, m, d)
		}
	}
	l, ok, err := format.ReadByYear(format.LargeSource{Reader: strings.NewReader(strings.TrimSuffix(b.String(), "\n"))})
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, 12000, l.Lines)
	require.NoError(t, l.Each(1, func(_ weather.Series, n format.Tally) error {
		require.Zero(t, n.Duplicate)
		return nil
	}))
}

// Lines that are almost as their publisher prints them are read as Open reads
// them, wherever they stand.
func TestAlmostAsPrinted(t *testing.T) {
	for name, line := range map[string]string{
		"zeros for a date":         "QZ000000001,\x00\x00\x00\x00\x00\x00\x00\x00,TMAX,50,,,7,",
		"zeros for a station":      strings.Repeat("\x00", 11) + ",20240105,TMAX,50,,,7,",
		"high bytes for a date":    "QZ000000001,\xff\xff\xff\xff\xff\xff\xff\xff,TMAX,50,,,7,",
		"no such day":              "QZ000000001,20240230,TMAX,50,,,7,",
		"nothing kept, cut short":  "QZ000000001,20240105,SNOW,",
		"nothing kept, and a half": "QZ000000001,20240105,SNOW,1\nQZ000000001,2024010",
		"nothing kept, long":       "QZ000000001,20240105,SNOW," + strings.Repeat("1", 60) + ",,,7,",
		"five digits":              "QZ000000001,20240105,PRCP,10001,,,7,0700",
		"eight digits":             "QZ000000001,20240105,PRCP,00000012,,,7,0700",
		"many digits":              "QZ000000001,20240105,PRCP,0000000000000000000000000000012,,,7,",
		"too much rain":            "QZ000000001,20240105,PRCP,99999,,,7,",
		"less than no rain":        "QZ000000001,20240105,PRCP,-5,,,7,",
		"too hot":                  "QZ000000001,20240105,TMAX,601,,,7,",
		"hottest":                  "QZ000000001,20240105,TMAX,600,,,7,",
		"coldest":                  "QZ000000001,20240105,TMIN,-900,,,7,",
		"minus alone":              "QZ000000001,20240105,TMIN,-,,,7,",
		"two minus":                "QZ000000001,20240105,TMIN,--5,,,7,",
		"plus":                     "QZ000000001,20240105,TMIN,+5,,,7,",
		"colon for a digit":        "QZ000000001,20240105,TMIN,1:,,,7,",
		"slash for a digit":        "QZ000000001,20240105,TMIN,1/,,,7,",
		"high byte for a digit":    "QZ000000001,20240105,TMIN,1\xb5,,,7,",
		"no value":                 "QZ000000001,20240105,TMAX,,,,7,",
		"every flag":               "QZ000000001,20240105,TMAX,-123,T,I,7,0700",
		"every flag but the time":  "QZ000000001,20240105,TMAX,50,T,I,7,",
		"rejected":                 "QZ000000001,20240105,TMAX,50,,I,,",
		"measured":                 "QZ000000001,20240105,TMAX,50,T,,,",
		"no flags":                 "QZ000000001,20240105,TMAX,50,,,,",
		"blank flag":               "QZ000000001,20240105,TMAX,50, , ,7,",
		"quoted flag":              `QZ000000001,20240105,TMAX,50,"",,7,`,
		"quote for a flag":         `QZ000000001,20240105,TMAX,50,",",7,`,
		"two letters":              "QZ000000001,20240105,TMAX,50,,II,7,",
		"high byte for a flag":     "QZ000000001,20240105,TMAX,50,,\xb5,7,",
		"comma in the time":        "QZ000000001,20240105,TMAX,50,,,7,07,0",
		"comma in a late time":     "QZ000000001,20240105,TMAX,50,T,I,7,07,0",
		"quote in a late time":     `QZ000000001,20240105,TMAX,50,T,I,7,"700`,
		"short time":               "QZ000000001,20240105,TMAX,50,,,7,07",
		"a field too many":         "QZ000000001,20240105,TMAX,50,,,7,0700,",
		"a field too few":          "QZ000000001,20240105,TMAX,50,,,7",
		"carriage return":          "QZ000000001,20240105,TMAX,50,,,7,0700\r",
		"carriage return, no time": "QZ000000001,20240105,TMAX,50,,,7,\r",
		"tab in the identifier":    "QZ0000\t0001,20240105,TMAX,50,,,7,",
		"wind":                     "QZ000000001,20240105,AWND,50,,,W,",
		"mean":                     "QZ000000001,20240105,TAVG,50,,,W,",
		"mean of nothing":          "QZ000000001,20240105,TAVG,x,,,W,",
		"element of small letters": "QZ000000001,20240105,tmax,50,,,7,",
	} {
		t.Run(name, func(t *testing.T) {
			plain := calmYear(300)
			for _, text := range []string{
				plain + line + "\n" + plain, plain + line, plain + line + "\n" + line + "\n",
				plain + "Q,\n" + line + "\n" + plain,
				plain + "QZ000000001,20240110,TMIN,5, , ,7,\n" + line + "\n" + plain, // read with care, and kept
			} {
				readAlike(t, text)
			}
		})
	}
}

// readAlike compares the reader of large files with Open.
func readAlike(t *testing.T, text string) {
	t.Helper()
	l, ok, err := format.ReadByYear(format.LargeSource{Name: "y.csv", Reader: strings.NewReader(text), Workers: 1})
	require.NoError(t, err)
	require.True(t, ok)
	o, err := format.Open(strings.NewReader(text), format.Options{Name: "y.csv"})
	require.NoError(t, err)
	var faults []string
	for _, err := range o.Readings() {
		if err != nil {
			faults = append(faults, err.Error())
		}
	}
	require.Equal(t, len(faults), l.Faults, "%q", faults)
	for i, e := range l.First {
		require.Equal(t, faults[i], e.Error())
	}
	require.Equal(t, o.Lines(), l.Lines)
	require.Equal(t, o.OutOfRange(), l.OutOfRange)
	require.Equal(t, asOpenHasIt(t, text), daysOf(large(t, l, 1)))
}
