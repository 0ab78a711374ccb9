package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// floors names the packages of ours that each package may import. A package
// that is not listed here has no floor yet and fails the test.
var floors = map[string][]string{
	"ingest/weather":      {},
	"ingest/format":       {"ingest/weather"},
	"ingest/fill":         {"ingest/weather"},
	"ingest/county":       {},
	"ingest/areal":        {"ingest/weather", "ingest/county"},
	"ingest/qc":           {"ingest/weather"},
	"ingest/archive":      {"ingest/weather"},
	"ingest/demo":         {"ingest/weather"},
	"ingest/demo/write":   {"ingest/demo"},
	"ingest/fetch":        {"ingest/weather"},
	"ingest":              {"ingest/weather", "ingest/format", "ingest/fill", "ingest/qc"},
	"phenology":           {"ingest/weather"},
	"phenology/calibrate": {"ingest/weather", "phenology"},
	"ingest/records":      {"ingest/weather"},
	"forecast/verify":     {},
	"forecast/flow":       {"ingest/weather", "phenology"},
	"forecast/honey":      {},
	"forecast/colony":     {"ingest/weather", "phenology", "forecast/flow", "forecast/honey"},
	"forecast/hive":       {"ingest/weather", "phenology", "forecast/flow", "forecast/honey", "forecast/colony"},
	"forecast/ical":       {"ingest/weather"},
	"forecast":            {"ingest/weather", "phenology", "phenology/calibrate", "forecast/flow", "forecast/honey", "forecast/hive", "forecast/verify"},
	"forecast/chart":      {"ingest/weather", "phenology", "forecast", "forecast/flow", "forecast/honey", "forecast/colony", "forecast/hive"},
	"forecast/report":     {"ingest/weather", "phenology", "phenology/calibrate", "forecast", "forecast/flow", "forecast/honey", "forecast/hive", "forecast/ical", "forecast/verify", "forecast/chart"},
	"forecast/web":        {"ingest/weather", "forecast", "forecast/chart", "forecast/hive", "forecast/ical", "forecast/report"},
	"config":              {"ingest/weather", "phenology", "forecast", "forecast/flow", "forecast/honey", "forecast/colony", "forecast/hive"},
	"cmd/bloomtide":       {"*"},
}

// keepers names the packages that alone may import what touches the world or
// what has a way of spreading.
var keepers = map[string][]string{
	"os":                               {"cmd/bloomtide", "ingest/archive", "ingest/demo/write"},
	"net/http":                         {"ingest/fetch", "forecast/web"},
	"os/exec":                          {},
	"unsafe":                           {},
	"math/rand/v2":                     {"ingest/fetch", "forecast", "forecast/verify", "ingest/demo"},
	"math/rand":                        {},
	"github.com/spf13/viper":           {"config"},
	"github.com/spf13/cobra":           {"cmd/bloomtide"},
	"github.com/jszwec/csvutil":        {"config", "ingest/format"},
	"github.com/paulmach/orb":          {"ingest/weather", "ingest/archive", "ingest/fetch", "ingest/format", "ingest", "ingest/county", "ingest/areal", "cmd/bloomtide", "config"},
	"github.com/paulmach/orb/geo":      {"ingest/fetch", "forecast/report", "cmd/bloomtide"},
	"github.com/paulmach/orb/geojson":  {},
	"golang.org/x/term":                {"cmd/bloomtide"},
	"github.com/mitchellh/go-wordwrap": {"forecast/report"},
}

// noClock are the packages below cmd, where nothing may ask what day it is.
func noClock(pkg string) bool { return !strings.HasPrefix(pkg, "cmd/") }

type listed struct {
	ImportPath string
	Imports    []string
	GoFiles    []string
	Dir        string
}

func listPackages(t *testing.T) []listed {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports,GoFiles,Dir", "bloomtide/...")
	out, err := cmd.Output()
	require.NoError(t, err)
	var all []listed
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			return all
		}
		require.NoError(t, err)
		all = append(all, p)
	}
}

// broken returns each import that the floors or the keepers forbid.
func broken(p listed) []string {
	name := strings.TrimPrefix(p.ImportPath, "bloomtide/")
	allowed, known := floors[name]
	if !known {
		return []string{name + " stands on no floor: add it to floors"}
	}
	var out []string
	for _, imp := range p.Imports {
		if ours, ok := strings.CutPrefix(imp, "bloomtide/"); ok {
			if !slices.Contains(allowed, ours) && !slices.Contains(allowed, "*") {
				out = append(out, name+" must not import "+imp)
			}
			continue
		}
		if may, guarded := keepers[imp]; guarded && !slices.Contains(may, name) {
			out = append(out, name+" must not import "+imp)
		}
	}
	return out
}

func TestImportsGoDownTheFloors(t *testing.T) {
	for _, p := range listPackages(t) {
		require.Empty(t, broken(p))
	}
}

// The check itself must be able to fail.
func TestFloorsCatchAnImportUpward(t *testing.T) {
	for _, bad := range []listed{
		{ImportPath: "bloomtide/phenology", Imports: []string{"bloomtide/forecast"}},
		{ImportPath: "bloomtide/forecast/flow", Imports: []string{"os"}},
		{ImportPath: "bloomtide/forecast", Imports: []string{"github.com/spf13/viper"}},
		{ImportPath: "bloomtide/attic"},
	} {
		require.NotEmpty(t, broken(bad), path.Base(bad.ImportPath))
	}
}

func TestNothingBelowCmdReadsTheClock(t *testing.T) {
	for _, p := range listPackages(t) {
		if !noClock(strings.TrimPrefix(p.ImportPath, "bloomtide/")) {
			continue
		}
		for _, f := range p.GoFiles {
			require.NotContains(t, source(t, p.Dir, f), "time.Now", "%s/%s", p.ImportPath, f)
		}
	}
}
