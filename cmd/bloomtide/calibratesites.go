package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest/records"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"

	"github.com/spf13/cobra"
)

// siteStudies are the studies of many sites with their fits.
type siteStudies struct {
	out   report.SiteFits
	kinds []siteKind
}

// siteKind is one stage of one plant with the years of every site that has it.
type siteKind struct {
	plant, stage string
	sites        []string
	years        [][]calibrate.Year
}

// calibrateSites fits every site by itself, and each plant over its sites.
func (w world) calibrateSites(c *cobra.Command, o calibrateOptions) error {
	set, err := w.settings(c)
	if err != nil {
		return err
	}
	form, err := checkStudyFormat(set)
	if err != nil {
		return err
	}
	switch {
	case len(set.Weather) != 1:
		return &usageError{errors.New("--sites wants one folder of weather"), "give --weather the folder in which each site has its SITE_ID.csv"}
	case o.rows != "":
		return &usageError{errors.New("--rows writes the rows of one place"), "leave out --sites, or --rows"}
	case o.few < 0 || o.few > maxFewYears:
		return &usageError{fmt.Errorf("--few-years: %d is outside 0..%d", o.few, maxFewYears), "3 is a good number"}
	}
	sites, err := readSites(o.sites)
	if err != nil {
		return err
	}
	all := &siteStudies{}
	for _, site := range sites {
		if err := w.oneSite(all, site, set, o); err != nil {
			return err
		}
	}
	if len(all.out.Fits) == 0 {
		return fmt.Errorf("%s: %w", o.observations, calibrate.ErrNoYears)
	}
	if err := all.regions(); err != nil {
		return err
	}
	return w.deliver(o.output, func(to io.Writer) error {
		switch form {
		case "csv":
			return all.out.CSV(to)
		case "json":
			return all.out.JSON(to)
		default:
			return all.out.Table(to)
		}
	})
}

// maxFewYears is the most that --few-years takes: more are no longer few.
const maxFewYears = 10

func readSites(name string) ([]records.Site, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, &usageError{fmt.Errorf("read the sites: %w", err), "name a CSV file with the columns site_id,lat"}
	}
	defer f.Close()
	return records.ReadSites(f, name)
}

// oneSite fits the dates of one site. A site without weather or dates is told
// and left out.
func (w world) oneSite(all *siteStudies, site records.Site, set config.Settings, o calibrateOptions) error {
	leave := func(err error) {
		text := fmt.Sprintf("%s:%d: site %s: %v; it is left out", o.sites, site.Line, site.ID, err)
		all.out.Warnings = append(all.out.Warnings, text)
		say{w.stderr}.warning("%s", text)
	}
	path := filepath.Join(set.Weather[0], site.ID+".csv")
	if _, err := os.Stat(path); err != nil {
		leave(fmt.Errorf("no file %s", path))
		return nil
	}
	set.Weather, set.Place, set.Lat, set.Lon = []string{path}, "", site.LatDeg, site.LonDeg
	o.site = site.ID
	s, err := w.studyOf(set, o.studyOptions)
	var wrong *usageError
	if errors.Is(err, calibrate.ErrNoYears) || errors.As(err, &wrong) {
		leave(err)
		return nil
	}
	if err != nil {
		return err
	}
	all.out.Warnings = append(all.out.Warnings, s.about.Warnings...)
	fits, err := s.fit(w)
	if err != nil {
		return err
	}
	for i, f := range fits {
		all.out.Fits = append(all.out.Fits, report.SiteFit{Site: site.ID, StudyFit: f})
		all.add(f, site.ID, s.groups[i].years)
		if few, ok := calibrate.NewFew(s.groups[i].years, o.few, calibrate.Options{Row: s.groups[i].row}); o.few > 0 && ok {
			all.out.Few = append(all.out.Few, report.SiteFew{Site: site.ID, Plant: f.Plant, Stage: f.Stage, Few: few})
		}
	}
	return nil
}

// add keeps the years of a site for the regional fit.
func (a *siteStudies) add(f report.StudyFit, site string, years []calibrate.Year) {
	for i, k := range a.kinds {
		if plainName(k.plant) == plainName(f.Plant) && k.stage == f.Stage {
			a.kinds[i].sites = append(k.sites, site)
			a.kinds[i].years = append(k.years, years)
			return
		}
	}
	a.kinds = append(a.kinds, siteKind{f.Plant, f.Stage, []string{site}, [][]calibrate.Year{years}})
}

// regions fits each plant that was seen at several sites.
func (a *siteStudies) regions() error {
	for _, k := range a.kinds {
		if len(k.sites) < 2 {
			continue
		}
		r, err := calibrate.NewRegion(k.years, phenology.Method{})
		if err != nil {
			return err
		}
		a.out.Regions = append(a.out.Regions, report.RegionFit{Plant: k.plant, Stage: k.stage, Sites: k.sites, Region: r})
	}
	return nil
}
