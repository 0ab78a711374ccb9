package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/config"
	"bloomtide/forecast/ical"

	"github.com/spf13/cobra"
)

// planOptions are the options of plan and bloom that are no settings.
type planOptions struct {
	output   string
	reminder int
	update   bool
	odds     oddsOptions
	chart    string // how charts are drawn on the screen; "" is auto
}

// addChart adds the option of commands that draw on the screen.
func (o *planOptions) addChart(c *cobra.Command) {
	c.Flags().StringVar(&o.chart, "chart", chartAuto, "small charts on the screen: auto (where it shows UTF-8), always or never")
	words := []cobra.Completion{cobra.CompletionWithDesc(chartAuto, "where the screen can"), cobra.CompletionWithDesc(chartAlways, "in a file, too"), cobra.CompletionWithDesc(chartNever, "words only")}
	_ = c.RegisterFlagCompletionFunc("chart", cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
}

func (o *planOptions) addFlags(c *cobra.Command) {
	config.AddFlags(c.Flags())
	c.Flags().StringVarP(&o.output, "output", "o", "", "write to this file instead of the screen; a calendar there is updated, not doubled")
	c.PreRunE = func(c *cobra.Command, _ []string) error { return o.checkReminder(c.Flags().Changed("reminder")) }
	c.Flags().IntVar(&o.reminder, "reminder", -1, "days before that the calendar reminds at nine in the morning, 0: on the day (default: no reminder)")
}

// mostDaysBefore is the earliest a reminder may come, days, as package ical
// has it.
const mostDaysBefore = 60

// checkReminder refuses days that a calendar's reminder cannot have.
func (o *planOptions) checkReminder(asked bool) error {
	if !asked || o.reminder >= 0 && o.reminder <= mostDaysBefore {
		return nil
	}
	return &usageError{
		fmt.Errorf("--reminder: %d is outside 0..%d", o.reminder, mostDaysBefore),
		"give the days before, 0 for the day itself; leave it out for no reminder",
	}
}

// remind returns the calendar's reminder: the option's, else the settings'.
func (o planOptions) remind(s config.ReminderSetting) ical.Reminder {
	r := ical.Reminder{On: s.On, DaysBefore: s.DaysBefore, Hour: s.Hour}
	if o.reminder >= 0 {
		r.On, r.DaysBefore = true, o.reminder
	}
	if r.DaysBefore == 0 {
		r.DaysBefore = ical.OnTheDay
	}
	return r
}

// settings gathers flags, environment and configuration file.
func (w world) settings(c *cobra.Command) (config.Settings, error) {
	name, err := w.configFile(c)
	if err != nil {
		return config.Settings{}, err
	}
	o := config.Options{File: name, Environ: w.environ, Flags: c.Flags()}
	if name != "" {
		if o.Content, err = os.ReadFile(name); err != nil {
			return config.Settings{}, &usageError{fmt.Errorf("read the configuration: %w", err), "run \"bloomtide init\" to write one"}
		}
	}
	s, err := config.Load(o)
	if err != nil {
		return s, err
	}
	w.fromItsFolder(c, name, &s)
	return s, nil
}

// fromItsFolder makes the relative names that a configuration sets, and neither
// flag nor environment, start from its folder.
func (w world) fromItsFolder(c *cobra.Command, name string, s *config.Settings) {
	if !c.Flags().Changed("weather") && w.env("BLOOMTIDE_WEATHER") == "" {
		s.Weather = besideFile(name, s.Weather)
	}
	for flag, value := range map[string]*string{"forage": &s.Forage, "cover": &s.Cover, "archive": &s.Archive, "outline": &s.Outline, "hive-log": &s.HiveLog} {
		if !c.Flags().Changed(flag) && w.env("BLOOMTIDE_"+strings.ToUpper(strings.ReplaceAll(flag, "-", "_"))) == "" && *value != "" {
			*value = besideFile(name, []string{*value})[0]
		}
	}
}

// configFile names the configuration: the one asked for, else bloomtide.yaml
// in this folder, else the one in the user's configuration folder, else none.
func (w world) configFile(c *cobra.Command) (string, error) {
	if asked := c.Flags().Lookup("config").Value.String(); asked != "" {
		return asked, nil
	}
	if asked := w.env("BLOOMTIDE_CONFIG"); asked != "" {
		return asked, nil
	}
	places := []string{configName}
	if home := w.configHome(); home != "" {
		places = append(places, filepath.Join(home, "bloomtide", configName))
	}
	for _, p := range places {
		_, err := os.Stat(p)
		if err == nil {
			return p, nil
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return "", fmt.Errorf("look for the configuration: %w", err)
		}
	}
	return "", nil
}

// configHome is the user's configuration folder by the XDG Base Directory
// specification, which ignores a relative value.
func (w world) configHome() string {
	if dir := w.env("XDG_CONFIG_HOME"); filepath.IsAbs(dir) {
		return dir
	}
	if home := w.env("HOME"); filepath.IsAbs(home) {
		return filepath.Join(home, ".config")
	}
	return ""
}

// besideFile makes the relative names in a configuration start from its
// folder, so that it works from anywhere.
func besideFile(configFile string, names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		if n == "-" || filepath.IsAbs(n) || configFile == "" {
			out[i] = n
			continue
		}
		out[i] = filepath.Join(filepath.Dir(configFile), n)
	}
	return out
}
