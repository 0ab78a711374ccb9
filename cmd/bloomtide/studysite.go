package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/config"
	"bloomtide/ingest/records"
)

// siteBeside takes the position from sites.csv beside the bloom dates, where
// the settings do not tell it: of the site asked for, or of the one that the
// weather file is named after.
func siteBeside(o studyOptions, set config.Settings) (config.Settings, string, error) {
	if o.observations == "" || !math.IsNaN(set.Lat) || set.County != "" || set.Outline != "" {
		return set, "", nil
	}
	file := filepath.Join(filepath.Dir(o.observations), "sites.csv")
	f, err := os.Open(file)
	if err != nil {
		return set, "", nil // there need not be one
	}
	defer f.Close()
	sites, err := records.ReadSites(f, file)
	if err != nil {
		return set, "", err
	}
	want := o.site
	if want == "" {
		want = stem(set.Weather[0])
	}
	for _, s := range sites {
		if strings.EqualFold(s.ID, want) {
			set.Lat, set.Lon = s.LatDeg, s.LonDeg
			return set, fmt.Sprintf("position of %s from %s", s.ID, file), nil
		}
	}
	return set, "", nil
}

// stem is the name of a file without folder and endings.
func stem(file string) string {
	name, _, _ := strings.Cut(filepath.Base(file), ".")
	return name
}
