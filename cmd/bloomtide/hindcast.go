package main

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"bloomtide/forecast"
	"bloomtide/forecast/report"
	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"
	"bloomtide/phenology/calibrate"

	"github.com/spf13/cobra"
)

type hindcastOptions struct {
	studyOptions
	leads  []int
	dates  []string
	plants []string
	chart  string
	trend  bool
	like   bool
}

func newHindcast(w world) *cobra.Command {
	o := &hindcastOptions{}
	c := &cobra.Command{
		Use:   "hindcast",
		Short: "Forecast past years over again, and say how far off that was",
		Long: `hindcast forecasts the bloom of every past year again as it would have been
forecast on a number of days before it: from that year's weather up to the day
and other years' after it, by a model that did not see the year. It compares
with the bloom you observed or, without --observations, with the model's own
date under full weather, which tests the weather part only.`,
		Example: `  bloomtide hindcast --observations bloom.csv --weather daily.csv --lat 47.5
  bloomtide hindcast --weather daily.csv --lat 47.5 --plant apple \
    --lead 45 --lead 14 --chart error.svg`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runHindcast(c, w, *o) },
	}
	o.addFlags(c)
	c.Flags().IntSliceVar(&o.leads, "lead", nil, "days before the mean date of bloom; give it once for each (default 60,45,30,21,14,7)")
	c.Flags().StringArrayVar(&o.dates, "on", nil, "forecast on this day of every year instead, as 03-15; give it once for each")
	c.Flags().StringArrayVar(&o.plants, "plant", nil, "plant of the forage table to score without observations (default: those marked as starters)")
	c.Flags().StringVar(&o.chart, "chart", "", "write a chart of error against lead time to this file, as SVG")
	c.Flags().BoolVar(&o.trend, "trend", false, "warm the other years to the year in question by the record's own trend")
	c.Flags().BoolVar(&o.like, "like", false, "let only the years whose season up to then was most like it stand for the weather to come")
	return c
}

func runHindcast(c *cobra.Command, w world, o hindcastOptions) error {
	s, set, err := w.newStudy(c, o.studyOptions)
	if err != nil {
		return err
	}
	form, err := checkStudyFormat(set)
	if err != nil {
		return err
	}
	var all []report.StudyLeads
	if o.observations != "" {
		all, err = w.hindcastSeen(s, o)
	} else {
		all, err = w.hindcastWeather(s, o)
	}
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(all, func(l report.StudyLeads) bool { return len(l.Leads) > 0 }) {
		return o.noLeads()
	}
	if o.chart != "" {
		if err := w.deliver(o.chart, func(to io.Writer) error { return report.HindcastChart(to, s.about, all) }); err != nil {
			return err
		}
	}
	return w.deliver(o.output, func(to io.Writer) error {
		switch form {
		case "csv":
			return report.HindcastCSV(to, all)
		case "json":
			return report.HindcastJSON(to, s.about, all)
		default:
			return report.HindcastTable(to, s.about, all)
		}
	})
}

// hindcastSeen scores against the keeper's dates.
func (w world) hindcastSeen(s *study, o hindcastOptions) ([]report.StudyLeads, error) {
	fits, err := s.fit(w)
	if err != nil {
		return nil, err
	}
	progress := w.newSteps("forecasting past years", len(fits))
	defer progress.stop()
	var out []report.StudyLeads
	for _, f := range fits {
		past := forecast.PastYears(f.Fit)
		h, err := o.hindcast(s, past)
		if err != nil {
			return nil, err
		}
		l := report.StudyLeads{Plant: f.Plant, Stage: f.Stage, Model: f.Fit.Model.Name}
		if err := w.hindcastStage(s, &l, past, h); err != nil {
			return nil, err
		}
		out = append(out, l)
		progress.add(1)
	}
	return out, nil
}

// hindcastWeather scores rows of the forage table against themselves.
func (w world) hindcastWeather(s *study, o hindcastOptions) ([]report.StudyLeads, error) {
	var out []report.StudyLeads
	for _, name := range o.plants {
		if findRow(name, s.plants) == nil {
			return nil, &usageError{fmt.Errorf("no plant of the forage table is called %q", name), "`bloomtide forage` prints the plants"}
		}
	}
	progress := w.newSteps("forecasting past years", len(s.plants))
	defer progress.stop()
	for i, p := range s.plants {
		progress.add(int64(i) - progress.read.Load()) // those before this one
		if wanted := len(o.plants) == 0 && p.Starter || names(o.plants, p.Model.Plant, p.Model.Taxon); !wanted {
			continue
		}
		m := calibrate.Model{Name: "table row", Row: calibrate.NewRow(p.Model, string(records.First), s.series.Site.LatDeg()), RowShare: 1}
		var past []forecast.PastYear
		for _, y := range s.wholeYears() {
			if d, ok := m.Season(y.Season); ok {
				past = append(past, forecast.PastYear{Year: y.Year, Seen: d, Model: m})
			}
		}
		h, err := o.hindcast(s, past)
		if err != nil {
			return nil, err
		}
		h.Weather = true
		l := report.StudyLeads{Plant: p.Model.Plant, Stage: string(records.First), Model: m.Name, WeatherOnly: true}
		if err := w.hindcastStage(s, &l, past, h); err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	if len(out) == 0 {
		return nil, &usageError{errors.New("no plant to score"), "name one with --plant"}
	}
	return out, nil
}

// hindcastStage forecasts the years of one stage again, and tells what could
// not be.
func (w world) hindcastStage(s *study, l *report.StudyLeads, past []forecast.PastYear, h forecast.HindcastOptions) error {
	var doubts []string
	var err error
	if l.Leads, doubts, err = forecast.Hindcast(s.series, past, h); err != nil {
		return err
	}
	for _, d := range doubts {
		s.warn(w, fmt.Sprintf("%s, %s bloom: %s", l.Plant, l.Stage, d))
	}
	return nil
}

// noLeads says why nothing came of a hindcast: the warnings before it have said
// so of each stage.
func (o hindcastOptions) noLeads() error {
	if len(o.leads) > 0 || len(o.dates) > 0 {
		return &usageError{errors.New("no lead time that was asked for lies within the plant year"), "leave out --lead and --on for those of 7 to 60 days"}
	}
	return errors.New("no bloom could be forecast again: it is reached in no year, or in the first days of the plant year; name another plant with --plant")
}

// names reports whether one of the words is the plant's name or taxon.
func names(words []string, plant, taxon string) bool {
	for _, v := range words {
		if plainName(v) == plainName(plant) || plainName(v) == plainName(taxon) {
			return true
		}
	}
	return false
}

// hindcast returns the options of a stage: fixed days of the year become leads
// before its mean date.
func (o hindcastOptions) hindcast(s *study, past []forecast.PastYear) (forecast.HindcastOptions, error) {
	h := forecast.HindcastOptions{Leads: slices.Clone(o.leads), Trend: o.trend, Like: o.like}
	for _, d := range o.leads {
		if d < -365 || d > 365 {
			return h, &usageError{fmt.Errorf("--lead: %d is outside -365..365", d), "give days before the mean date of bloom"}
		}
	}
	if len(o.dates) == 0 || len(past) == 0 {
		return h, nil
	}
	mean := 0.0
	for _, p := range past {
		mean += p.Seen / float64(len(past))
	}
	for _, text := range o.dates {
		d, err := weather.ParseDate("2001-" + text)
		if err != nil {
			return h, &usageError{fmt.Errorf("--on: %q is not a day of the year", text), "write month and day as 03-15"}
		}
		day := int(d - s.firstDay(2001))
		if day < 0 {
			day += 365
		}
		h.Leads = append(h.Leads, int(mean+0.5)-day)
	}
	return h, nil
}
