package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"strconv"
	"strings"

	"bloomtide/ingest/demo"
)

// day is one line of the invented record.
type day struct {
	date     string
	min, max float64 // °C
}

// inventedRecord returns the record of an invented county as CSV with the
// columns date, tmin, tmax (°C) and rain, plain and gzipped.
func inventedRecord() (plain, packed string, err error) {
	_, gz, err := demo.File(demo.Sarnholt)
	if err != nil {
		return "", "", err
	}
	r, err := gzip.NewReader(bytes.NewReader(gz))
	if err != nil {
		return "", "", err
	}
	all, err := io.ReadAll(r)
	return string(all), string(gz), err
}

// rewritten writes the invented record anew, one line for each day.
func rewritten(plain, header string, line func(day) string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i, s := range strings.Split(strings.TrimSpace(plain), "\n") {
		if i == 0 {
			continue
		}
		f := strings.Split(s, ",")
		low, _ := strconv.ParseFloat(f[1], 64)
		high, _ := strconv.ParseFloat(f[2], 64)
		b.WriteString(line(day{f[0], low, high}) + "\n")
	}
	return b.String()
}
