package fetch

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// outlookText begins as the real Open-Meteo file of the shared folder does.
const outlookText = "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n" +
	"47.5,-93.2,350.0,-18000,America/Chicago,GMT-5\n\n" +
	"time,temperature_2m_max (°C),temperature_2m_min (°C),precipitation_sum (mm)\n" +
	"2026-03-31,9.1,-1.0,0.0\n"

// archive is a well-behaved public archive with invented stations.
type archive struct {
	*httptest.Server
	asked []string // path and status
	query url.Values
	gone  map[string]bool // paths that are answered by 404
	busy  map[string]bool // paths that are answered by 503
}

func newArchive(t testing.TB) *archive {
	a := &archive{gone: map[string]bool{}, busy: map[string]bool{}}
	files := map[string]string{"/stations.txt": inventedStations, "/inventory.txt": inventedInventory, "/outlook": outlookText}
	for _, id := range []string{"1", "2", "3"} {
		files["/records/XX00000000"+id+".csv"] = recordText(30)
	}
	a.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a.asked = append(a.asked, strings.TrimSuffix(r.URL.Path[strings.LastIndex(r.URL.Path, "/")+1:], ".csv"))
		if r.URL.RawQuery != "" {
			a.query = r.URL.Query()
		}
		switch text := files[r.URL.Path]; {
		case a.gone[r.URL.Path] || text == "":
			w.WriteHeader(404)
		case a.busy[r.URL.Path]:
			w.WriteHeader(503)
		default:
			whole(text, `"1"`)(w, r)
		}
	}))
	t.Cleanup(a.Close)
	return a
}

func jobHere() Job {
	return Job{Query: Query{Point: orb.Point{-93.204321, 47.501234}, Stations: 2, Years: 12, Year: 2026}, Outlook: true}
}

func ids(all []Station) (out []string) {
	for _, s := range all {
		out = append(out, s.Site.ID+" "+string(s.State))
	}
	return out
}

func TestPlaceFromNothingToUnchanged(t *testing.T) {
	a, s, w := newArchive(t), newShelf(), newWatch()
	r, err := clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
	require.NoError(t, err)
	require.Empty(t, r.Failed)
	require.Equal(t, []string{"XX000000001 fetched", "XX000000003 fetched"}, ids(r.Stations))
	require.Equal(t, "2001-01-30", r.Stations[0].LastDay)
	require.Equal(t, int64(len(inventedStations)+len(inventedInventory)+2*len(recordText(30))+len(outlookText)), r.Bytes)
	require.Equal(t, recordText(30), string(s.files["ghcn-daily/by-station/XX000000003.csv"]))
	require.Equal(t, outlookText, string(s.files["outlook/47.50_-93.20.csv"]))
	require.Contains(t, r.Notes, Attribution)
	require.Equal(t, "47.50", a.query.Get("latitude"), "the hive's place is told to a hundredth of a degree")
	require.Equal(t, "-93.20", a.query.Get("longitude"))
	require.Equal(t, "csv", a.query.Get("format"))

	a.asked = nil
	w.pass(30 * time.Minute)
	r, err = clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
	require.NoError(t, err)
	require.Empty(t, a.asked, "all is fresh")
	require.Equal(t, []string{"XX000000001 kept", "XX000000003 kept"}, ids(r.Stations))
	require.Equal(t, "2001-01-30", r.Stations[0].LastDay)

	w.pass(12 * time.Hour)
	r, err = clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
	require.NoError(t, err)
	require.Equal(t, []string{"XX000000001", "XX000000003", "outlook"}, a.asked, "the lists are fresh for a month")
	require.Equal(t, []string{"XX000000001 unchanged", "XX000000003 unchanged"}, ids(r.Stations))
	require.Zero(t, r.Bytes, "304 carries nothing")

	a.asked = nil
	j := jobHere()
	j.Again, j.Outlook = true, false
	_, err = clientFor(t, a.URL, s, w).Place(context.Background(), j)
	require.NoError(t, err)
	require.Equal(t, []string{"stations.txt", "inventory.txt", "XX000000001", "XX000000003"}, a.asked)
}

// A station that is listed without a record gives its place to the next; one
// that cannot be had just now does not.
func TestPlaceWhereAStationFails(t *testing.T) {
	a := newArchive(t)
	a.gone["/records/XX000000001.csv"] = true
	j := jobHere()
	j.Year = 2002 // before XX000000002 had ended
	r, err := clientFor(t, a.URL, newShelf(), newWatch()).Place(context.Background(), j)
	require.NoError(t, err)
	require.Equal(t, []string{"XX000000002 fetched", "XX000000003 fetched"}, ids(r.Stations))
	require.Contains(t, r.Notes, "XX000000001 WILLOW BEND is listed but has no record")

	delete(a.gone, "/records/XX000000001.csv")
	a.busy["/records/XX000000001.csv"], a.busy["/outlook"] = true, true
	r, err = clientFor(t, a.URL, newShelf(), newWatch()).Place(context.Background(), jobHere())
	require.NoError(t, err)
	require.Equal(t, []string{"XX000000003 fetched"}, ids(r.Stations))
	require.Len(t, r.Failed, 2)
	require.ErrorContains(t, r.Failed[0], "503")
	require.Nil(t, r.Outlook)
	require.NotContains(t, r.Notes, Attribution)

	a.busy["/records/XX000000003.csv"] = true
	_, err = clientFor(t, a.URL, newShelf(), newWatch()).Place(context.Background(), jobHere())
	require.ErrorContains(t, err, "503")
	a.gone["/stations.txt"] = true
	_, err = clientFor(t, a.URL, newShelf(), newWatch()).Place(context.Background(), jobHere())
	require.ErrorContains(t, err, "correct the address in the settings")
}

// Without network what is stored serves, and each failure is told.
func TestPlaceWithoutNetwork(t *testing.T) {
	a, s, w := newArchive(t), newShelf(), newWatch()
	_, err := clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
	require.NoError(t, err)
	a.Close()
	w.pass(40 * 24 * time.Hour)
	r, err := clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
	require.NoError(t, err)
	require.Equal(t, []string{"XX000000001 kept", "XX000000003 kept"}, ids(r.Stations))
	require.Len(t, r.Failed, 5, "two lists, two records, one outlook")
	for _, err := range r.Failed {
		require.True(t, Offline(err))
	}
	require.Equal(t, 2026, r.Stations[0].Asked.Year())
	require.Equal(t, time.April, r.Stations[0].Asked.Month())

	_, err = clientFor(t, a.URL, newShelf(), w).Place(context.Background(), jobHere())
	require.True(t, Offline(err))
}

// A stored file that was torn or changed by hand is fetched anew.
func TestStoredFileOfAnotherSum(t *testing.T) {
	a, s, w := newArchive(t), newShelf(), newWatch()
	_, err := clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
	require.NoError(t, err)
	const name = "ghcn-daily/by-station/XX000000001.csv"
	for _, torn := range []string{recordText(30)[:500], strings.Replace(recordText(30), "120", "999", 1), ""} {
		s.files[name] = []byte(torn)
		r, err := clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
		require.NoError(t, err)
		require.Equal(t, recordText(30), string(s.files[name]))
		require.Equal(t, "XX000000001 fetched", ids(r.Stations)[0])
	}
	delete(s.files, "ghcn-daily/by-station/.XX000000001.csv.json")
	_, err = clientFor(t, a.URL, s, w).Place(context.Background(), jobHere())
	require.NoError(t, err)
	require.Contains(t, s.files, "ghcn-daily/by-station/.XX000000001.csv.json")
}
