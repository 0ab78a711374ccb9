package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"time"

	"bloomtide/config"
	"bloomtide/ingest/fetch"

	"github.com/paulmach/orb"
	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// fetchOptions are the options of fetch that are no settings, or that go over
// those of the section fetch.
type fetchOptions struct {
	stations, years         int
	withinKm                float64
	outlook, again          bool
	allowHTTP, allowPrivate bool
	output                  string
}

func newFetch(w world) *cobra.Command {
	o := &fetchOptions{}
	c := &cobra.Command{
		Use:   "fetch",
		Short: "Download the daily records of the stations around your place",
		Long: `fetch finds the stations of GHCN-Daily (NOAA, public) nearest to your place
that have measured highs and lows for many years, and downloads their records
into the archive, where plan finds them. What is there already is
asked for only if the archive has a newer one; what was cut off goes on where
it stopped. Only the hosts in the settings are asked, by https.`,
		Example: `  bloomtide fetch --lat 47.5 --lon -93.2
  bloomtide plan --lat 47.5 --lon -93.2 --update`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runFetch(c, w, o) },
	}
	shared := &cobra.Command{}
	config.AddFlags(shared.Flags())
	for _, name := range []string{"lat", "lon", "county", "place", "archive", "config", "units"} {
		c.Flags().AddFlag(shared.Flags().Lookup(name))
	}
	f := c.Flags()
	f.String("format", "", "table, csv or json (default table)")
	f.StringVarP(&o.output, "output", "o", "", "write what was fetched to this file instead of the screen")
	f.IntVar(&o.stations, "stations", 0, "stations around the place (default 3)")
	f.IntVar(&o.years, "years", 0, "years of highs and lows that a station must have (default 20)")
	f.Float64Var(&o.withinKm, "within", 0, "farthest station in km (default 100)")
	f.BoolVar(&o.outlook, "outlook", false, "also the weather of the last and the next days, by Open-Meteo.com (CC BY 4.0)")
	f.BoolVar(&o.again, "again", false, "ask the archive even for files that were asked for a short while ago")
	f.BoolVar(&o.allowHTTP, "allow-http", false, "for tests: also http")
	f.BoolVar(&o.allowPrivate, "allow-private", false, "for tests: also addresses of your own network")
	return c
}

// over puts the options that were given over the settings.
func (o *fetchOptions) over(c *cobra.Command, s *config.FetchSettings) error {
	given := c.Flags().Changed
	for _, n := range []struct {
		flag   string
		x      float64
		lo, hi float64
	}{{"stations", float64(o.stations), 1, 20}, {"years", float64(o.years), 2, 200}, {"within", o.withinKm, 1, 1000}} {
		if given(n.flag) && !(n.x >= n.lo && n.x <= n.hi) {
			return &usageError{fmt.Errorf("--%s: %g is outside %g..%g", n.flag, n.x, n.lo, n.hi), ""}
		}
	}
	s.Stations, s.Years, s.WithinKm = cmp.Or(o.stations, s.Stations), cmp.Or(o.years, s.Years), cmp.Or(o.withinKm, s.WithinKm)
	if given("outlook") {
		s.Outlook = o.outlook
	}
	s.AllowHTTP, s.AllowPrivate = s.AllowHTTP || o.allowHTTP, s.AllowPrivate || o.allowPrivate
	return nil
}

func runFetch(c *cobra.Command, w world, o *fetchOptions) error {
	s, err := w.settings(c)
	if err != nil {
		return err
	}
	s.Format = cmp.Or(s.Format, "table")
	if !slices.Contains([]string{"table", "csv", "json"}, s.Format) {
		return &usageError{fmt.Errorf("unknown format %q", s.Format), "use --format table, csv or json"}
	}
	if err := o.over(c, &s.Fetch); err != nil {
		return err
	}
	s, _, err = inCounty(w.withArchive(s))
	if err != nil {
		return err
	}
	r, err := w.fetch(c.Context(), s, errand{again: o.again})
	if err != nil {
		return err
	}
	for _, f := range r.Failed {
		say{w.stderr}.warning("%v", f)
	}
	if err := w.deliver(o.output, func(to io.Writer) error { return printFetched(to, s, r) }); err != nil {
		return err
	}
	if len(r.Failed) > 0 {
		return fmt.Errorf("%d files could not be brought up to date; what was stored is kept, and the same command goes on", len(r.Failed))
	}
	return nil
}

// withArchive puts the user's data folder where no archive is named.
func (w world) withArchive(s config.Settings) config.Settings {
	s.Archive = cmp.Or(s.Archive, w.dataHome())
	return s
}

// errand says how fetching goes about it.
type errand struct {
	again bool // ask for every file
	tries int  // tries a file; 0: the default
}

// fetch downloads what the place of the settings needs into the archive.
func (w world) fetch(ctx context.Context, s config.Settings, e errand) (r fetch.Result, err error) {
	if s.Archive == "" {
		return r, &usageError{errors.New("no folder to fetch into: there is no home folder"), "give --archive FOLDER, or archive: in the configuration"}
	}
	if math.IsNaN(s.Lat) || math.IsNaN(s.Lon) {
		return r, &usageError{errors.New("the place to fetch for is not known"), "give --lat and --lon, or --county"}
	}
	f, bar := s.Fetch, w.progressBar()
	defer bar.clear()
	d, err := openDownloads(s.Archive)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, d.close()) }()
	pause := time.Duration(f.PauseS * float64(time.Second))
	if pause == 0 {
		pause = -1
	}
	client, err := fetch.New(fetch.Options{
		Addresses: fetch.Addresses{Stations: f.StationsAddress, Inventory: f.InventoryAddress, Records: f.RecordsAddress, Outlook: f.OutlookAddress},
		AllowHTTP: f.AllowHTTP, AllowPrivate: f.AllowPrivate, Pause: pause, Tries: e.tries,
		Seed: uint64(w.now().UnixNano()), Progress: bar.show,
	}, d, wallClock{w.now})
	if err != nil {
		return r, &usageError{err, "the addresses are settings of the section fetch"}
	}
	defer client.Close()
	return client.Place(ctx, fetch.Job{
		Query:   fetch.Query{Point: orb.Point{s.Lon, s.Lat}, Stations: f.Stations, Years: f.Years, WithinKm: f.WithinKm, Year: w.now().Year()},
		Outlook: f.Outlook, Again: e.again,
	})
}

// progressBar writes one line over and over, where a person is looking.
type progressBar struct {
	to   io.Writer // nil: nobody looks
	now  func() time.Time
	last time.Time
}

func (w world) progressBar() *progressBar {
	f, ok := w.stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return &progressBar{}
	}
	return &progressBar{to: f, now: w.now}
}

// show writes how far a download is, a few times a second at most.
func (b *progressBar) show(p fetch.Progress) {
	const often = 100 * time.Millisecond
	if b.to == nil || p.Wait == 0 && b.now().Sub(b.last) < often {
		return
	}
	b.last = b.now()
	text := fmt.Sprintf("%s: %s", p.Name, megabytes(p.Done))
	switch {
	case p.Wait > 0:
		text = fmt.Sprintf("%s: next try in %s", p.Name, p.Wait.Round(time.Second))
	case p.Total > 0:
		text += fmt.Sprintf(" of %s, %d %%", megabytes(p.Total), 100*p.Done/p.Total)
	}
	const wide = 78 // characters, so that the line does not wrap
	fmt.Fprintf(b.to, "\r%-*.*s", wide, wide, text)
}

func (b *progressBar) clear() {
	if b.to != nil && !b.last.IsZero() {
		fmt.Fprintf(b.to, "\r%78s\r", "")
	}
}

// megabytes writes a length for people.
func megabytes(n int64) string {
	switch {
	case n == 0:
		return "0"
	case n < 1e6:
		return fmt.Sprintf("%.0f kB", math.Ceil(float64(n)/1e3))
	}
	return fmt.Sprintf("%.1f MB", float64(n)/1e6)
}
