package fetch

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"
)

// Names in the store.
const (
	stationsName  = "ghcn-daily/stations.txt"
	inventoryName = "ghcn-daily/inventory.txt"

	// RecordsFolder holds one by-station CSV a station.
	RecordsFolder = "ghcn-daily/by-station"

	// OutlookFolder holds one table a place.
	OutlookFolder = "outlook"
)

// Attribution is what the licence of the outlook, CC BY 4.0, asks to be shown
// wherever it is used.
const Attribution = "outlook: weather data by Open-Meteo.com, CC BY 4.0 (https://open-meteo.com/)"

// A stored file is not asked for again within these. Our own choices: the
// lists change by a few stations a month, the records once a day, the outlook
// several times a day.
const (
	listFresh    = 30 * 24 * time.Hour
	recordFresh  = 6 * time.Hour
	outlookFresh = time.Hour
)

// Near-term weather asked for, d: what Open-Meteo gives at most (from memory).
const (
	outlookPast = 92

	// OutlookAhead is how many of the days of an outlook are foreseen, the day
	// on which it was made the first of them.
	OutlookAhead = 16
)

// Job says what to fetch for a place.
type Job struct {
	Query
	Outlook bool // also the near-term outlook
	Again   bool // ask for every file, however fresh the stored one is
}

// Station is a chosen station and what became of its record.
type Station struct {
	Candidate
	Outcome
}

// Result is what fetching for a place came to.
type Result struct {
	Stations []Station // in the order of Choose
	Outlook  *Outcome  // nil where none was asked for or could be had
	Bytes    int64     // over the wire, lists included
	Notes    []string  // what the keeper should know
	Failed   []error   // what could not be had or brought up to date
}

// Place brings the records of the stations around a place up to date. What
// fails while something of use is stored is in the result; the error is for
// when there is no station at all: a *NoStationError, an *Error, the
// context's, or the store's.
func (c *Client) Place(ctx context.Context, j Job) (Result, error) {
	j.Query = j.withDefaults()
	var r Result
	fit, err := c.choose(ctx, j, &r)
	if err != nil {
		return r, err
	}
	if fit[0].Ended {
		r.Notes = append(r.Notes, fmt.Sprintf("no station within %g km still reports: the records end in %d", j.WithinKm, fit[0].Last))
	}
	if err := c.records(ctx, j, fit, &r); err != nil {
		return r, err
	}
	if j.Outlook {
		return r, c.outlook(ctx, j, &r)
	}
	return r, nil
}

// choose brings the lists up to date and picks the stations.
func (c *Client) choose(ctx context.Context, j Job, r *Result) ([]Candidate, error) {
	for _, it := range []item{
		{c.o.Addresses.Stations, stationsName, stationList, j.within(listFresh)},
		{c.o.Addresses.Inventory, inventoryName, inventoryList, j.within(listFresh)},
	} {
		out, err := c.get(ctx, it)
		r.Bytes += out.Bytes
		if err != nil {
			return nil, err
		}
		r.failed(out.Err)
	}
	stations, err := c.store.Open(stationsName)
	if err != nil {
		return nil, fmt.Errorf("read the station list: %w", err)
	}
	defer stations.Close()
	inventory, err := c.store.Open(inventoryName)
	if err != nil {
		return nil, fmt.Errorf("read the inventory: %w", err)
	}
	defer inventory.Close()
	return reporting(Choose(stations, inventory, j.Query))
}

// reporting leaves out stations that have ended where others have not: the
// nearest record is of no use for this year if it has no day of it.
func reporting(fit []Candidate, err error) ([]Candidate, error) {
	if err != nil || fit[0].Ended {
		return fit, err
	}
	at := slices.IndexFunc(fit, func(c Candidate) bool { return c.Ended })
	if at < 0 {
		return fit, nil
	}
	return fit[:at], nil
}

func (j Job) within(d time.Duration) time.Duration {
	if j.Again {
		return 0
	}
	return d
}

func (r *Result) failed(err error) {
	if err != nil {
		r.Failed = append(r.Failed, err)
	}
}

// records fetches the nearest stations. One that the archive has not is
// passed over for the next; any other failure keeps the choice, so that it
// does not change with the network.
func (c *Client) records(ctx context.Context, j Job, fit []Candidate, r *Result) error {
	places, absent := j.Stations, 0
	for _, s := range fit {
		if places == 0 || absent > j.Stations {
			break
		}
		out, err := c.get(ctx, item{
			address: strings.TrimSuffix(c.o.Addresses.Records, "/") + "/" + url.PathEscape(s.Site.ID) + ".csv",
			name:    RecordsFolder + "/" + s.Site.ID + ".csv", kind: stationRecord, fresh: j.within(recordFresh),
		})
		r.Bytes += out.Bytes
		switch e, ours := asError(err); {
		case err == nil:
			places--
			r.failed(out.Err)
			r.Stations = append(r.Stations, Station{s, out})
		case ctx.Err() != nil:
			return ctx.Err()
		case ours && e.Status == http.StatusNotFound:
			absent++
			r.Notes = append(r.Notes, fmt.Sprintf("%s %s is listed but has no record", s.Site.ID, s.Site.Name))
		case ours, forbidden(err):
			places--
			r.failed(err)
		default:
			return err
		}
	}
	return r.noneLeft()
}

// noneLeft is the error of a result without a station.
func (r *Result) noneLeft() error {
	if len(r.Stations) > 0 {
		return nil
	}
	if len(r.Failed) > 0 {
		return r.Failed[len(r.Failed)-1]
	}
	return errors.New("none of the stations near by has a record in the archive; look farther with --within")
}

func forbidden(err error) bool {
	var e *AddressError
	return errors.As(err, &e)
}

// outlook fetches the near-term weather.
func (c *Client) outlook(ctx context.Context, j Job, r *Result) error {
	address, name, err := outlookAddress(c.o.Addresses.Outlook, j)
	if err != nil {
		return err
	}
	out, err := c.get(ctx, item{address: address, name: name, kind: outlookTable, fresh: j.within(outlookFresh)})
	r.Bytes += out.Bytes
	_, ours := asError(err)
	switch {
	case err == nil:
		r.failed(out.Err)
		r.Outlook = &out
		r.Notes = append(r.Notes, Attribution)
	case ctx.Err() != nil:
		return ctx.Err()
	case ours, forbidden(err):
		r.failed(err)
	default:
		return err
	}
	return nil
}

// outlookAddress asks for daily values in °C and mm by local day. The place is
// rounded to a hundredth of a degree, about 1 km: nobody need know the hive.
func outlookAddress(base string, j Job) (address, name string, err error) {
	u, err := url.Parse(base)
	if err != nil {
		return "", "", &AddressError{base, "not a web address", "correct it in the settings"}
	}
	lat, lon := rounded(j.Point)
	q := u.Query()
	for _, kv := range [][2]string{
		{"latitude", lat}, {"longitude", lon},
		{"daily", "temperature_2m_max,temperature_2m_min,precipitation_sum"},
		{"timezone", "auto"}, {"format", "csv"},
		{"past_days", strconv.Itoa(outlookPast)}, {"forecast_days", strconv.Itoa(OutlookAhead)},
	} {
		q.Set(kv[0], kv[1])
	}
	u.RawQuery = q.Encode()
	return u.String(), OutlookName(j.Point), nil
}

// OutlookName is the name in the store of the outlook of a place.
func OutlookName(p orb.Point) string {
	lat, lon := rounded(p)
	return OutlookFolder + "/" + lat + "_" + lon + ".csv"
}

func rounded(p orb.Point) (lat, lon string) {
	return strconv.FormatFloat(p.Lat(), 'f', 2, 64), strconv.FormatFloat(p.Lon(), 'f', 2, 64)
}
