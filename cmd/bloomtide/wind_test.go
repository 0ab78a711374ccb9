package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// relaid writes a table of date, precipitation, highest, lowest and wind, in mm,
// °C and m/s, as GHCN-Daily publishes a station, with wind or without:
// relaid by-year|by-station|dly windy|calm FROM TO.
func relaid(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: relaid by-year|by-station|dly windy|calm FROM TO")
	}
	elements := []string{"PRCP", "TMAX", "TMIN", "AWND"}
	if args[1] == "calm" {
		elements = elements[:3]
	}
	var days []string
	tenths := map[string][]int{} // by day
	for i, line := range strings.Split(strings.TrimSpace(ts.ReadFile(args[2])), "\n") {
		f := strings.Split(line, ",")
		if i == 0 {
			continue
		}
		days = append(days, f[0])
		for k := range elements {
			v, err := strconv.ParseFloat(f[k+1], 64)
			ts.Check(err)
			tenths[f[0]] = append(tenths[f[0]], int(math.Round(10*v)))
		}
	}
	layouts := map[string]func([]string, []string, map[string][]int) string{
		"by-year": asByYear, "by-station": asByStation, "dly": asDly,
	}
	ts.Check(writeFile(ts.MkAbs(args[3]), []byte(layouts[args[0]](elements, days, tenths))))
}

func asByYear(elements, days []string, tenths map[string][]int) string {
	var b strings.Builder
	for _, day := range days {
		for k, e := range elements {
			fmt.Fprintf(&b, "QZ000000001,%s,%s,%d,,,W,\n", strings.ReplaceAll(day, "-", ""), e, tenths[day][k])
		}
	}
	return b.String()
}

func asByStation(elements, days []string, tenths map[string][]int) string {
	var b strings.Builder
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME"`)
	for _, e := range elements {
		fmt.Fprintf(&b, `,"%s","%s_ATTRIBUTES"`, e, e)
	}
	for _, day := range days {
		fmt.Fprintf(&b, "\n"+`"QZ000000001","%s","47.4500","-122.3100","112.0","QUILL FIELD"`, day)
		for k := range elements {
			fmt.Fprintf(&b, `,"%5d",",,W"`, tenths[day][k])
		}
	}
	return b.String() + "\n"
}

func asDly(elements, days []string, tenths map[string][]int) string {
	var b strings.Builder
	for _, day := range days {
		month, first := strings.CutSuffix(day, "-01")
		if !first {
			continue
		}
		for k, e := range elements {
			b.WriteString("QZ000000001" + strings.ReplaceAll(month, "-", "") + e)
			for d := range 31 {
				v := -9999
				if of := tenths[fmt.Sprintf("%s-%02d", month, d+1)]; of != nil {
					v = of[k]
				}
				fmt.Fprintf(&b, "%5d  W", v)
			}
			b.WriteString("\n")
		}
	}
	return b.String()
}
