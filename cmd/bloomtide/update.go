package main

import (
	"context"
	"errors"
	"fmt"

	"bloomtide/config"
	"bloomtide/ingest/fetch"
	"bloomtide/ingest/weather"

	"github.com/spf13/cobra"
)

// updateTries is how often a plan asks for a file before it goes on with what
// is there. Our own choice: the reader waits.
const updateTries = 2

// addUpdate adds the option by which plan and bloom fetch first.
func (o *planOptions) addUpdate(c *cobra.Command) {
	c.Flags().BoolVar(&o.update, "update", false, "first fetch what is new for the place into the archive; without network go on with what is there")
}

// refresh fetches first where that is asked for, and returns what the plan
// should say about it. Only a mistake in the settings and Ctrl-C are errors.
func (w world) refresh(ctx context.Context, s config.Settings, o *planOptions) ([]string, error) {
	if !o.update {
		return nil, nil
	}
	s, _, err := inCounty(w.withArchive(s))
	if err != nil {
		return nil, err
	}
	r, err := w.fetch(ctx, s, errand{tries: updateTries})
	var usage *usageError
	switch {
	case errors.As(err, &usage), ctx.Err() != nil:
		return nil, err
	case err != nil:
		return []string{notUpdated(err)}, nil
	}
	var out []string
	if len(r.Failed) > 0 {
		out = append(out, notUpdated(r.Failed[0])+w.age(r))
	}
	if len(s.Weather) > 0 {
		out = append(out, "what was fetched is not used: the plan reads the files that weather names")
	}
	return out, nil
}

func notUpdated(err error) string {
	if fetch.Offline(err) {
		return fmt.Sprintf("the records could not be brought up to date, as without network (%v)", err)
	}
	return fmt.Sprintf("the records could not be brought up to date (%v)", err)
}

// age says when the archive was last asked for the oldest of the records, and
// the last day that any of them has.
func (w world) age(r fetch.Result) string {
	if len(r.Stations) == 0 {
		return ""
	}
	oldest, last := r.Stations[0].Asked, ""
	for _, s := range r.Stations {
		if s.Asked.Before(oldest) {
			oldest = s.Asked
		}
		last = max(last, s.LastDay)
	}
	text := ""
	if !oldest.IsZero() {
		days := int(weather.FromTime(w.now().UTC()) - weather.FromTime(oldest))
		text = fmt.Sprintf(": they are of %s, %d days ago", weather.FromTime(oldest), days)
	}
	if last != "" {
		text += ", and reach to " + last
	}
	return text
}

// recordsOf names the files that a place is read from: those that weather
// names, else the archive with what was fetched into it.
func recordsOf(s config.Settings) []string {
	if len(s.Weather) > 0 {
		return s.Weather
	}
	fetched := fetchedRecords(s.Archive)
	switch {
	case fetched == "":
		return []string{s.Archive}
	case hasFiles(s.Archive):
		return []string{s.Archive, fetched}
	}
	return []string{fetched}
}
