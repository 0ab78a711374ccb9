package main

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// publicArchive is a loopback server in place of the public archives, with
// invented stations in the published forms.
type publicArchive struct {
	mu    sync.Mutex
	files map[string]string
	tag   string // of every file
	down  bool   // answers 503
	cut   int    // octets after which a record is broken off, 0: never
	asked []string
}

const (
	archiveStations = "" +
		"XX000000001  48.2000   16.3000  350.0    WILLOW BEND                            \n" +
		"XX000000002  48.5000   16.3000 -999.9    HOLLOW OAK                             \n"
	archiveInventory = "" +
		"XX000000001  48.2000   16.3000 TMAX 1990 2025\n" +
		"XX000000001  48.2000   16.3000 TMIN 1990 2025\n" +
		"XX000000002  48.5000   16.3000 TMAX 1990 2025\n" +
		"XX000000002  48.5000   16.3000 TMIN 1990 2025\n"
)

// byStation writes the invented record as GHCN-Daily's by-station CSV.
func byStation(plain, id, name string, lat float64) string {
	return rewritten(plain, `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"`, func(d day) string {
		return fmt.Sprintf(`"%s","%s","%.4f","16.3","350.0","%s","%5.0f",",,S","%5.0f",",,S"`, id, d.date, lat, name, 10*d.max, 10*d.min)
	})
}

func newPublicArchive() (*publicArchive, error) {
	plain, _, err := inventedRecord()
	return &publicArchive{tag: `"1"`, files: map[string]string{
		"/stations.txt": archiveStations, "/inventory.txt": archiveInventory,
		"/records/XX000000001.csv": byStation(plain, "XX000000001", "WILLOW BEND, INVENTED", 48.2),
		"/records/XX000000002.csv": byStation(plain, "XX000000002", "HOLLOW OAK, INVENTED", 48.5),
		"/outlook": "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n48.2,16.3,350.0,3600,Europe/Vienna,GMT+1\n\n" +
			"time,temperature_2m_max (°C),temperature_2m_min (°C),precipitation_sum (mm)\n2025-04-09,9.1,-1.0,0.0\n",
	}}, err
}

func (a *publicArchive) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.asked = append(a.asked, r.URL.Path)
	text, ok := a.files[r.URL.Path]
	switch {
	case a.down:
		w.WriteHeader(http.StatusServiceUnavailable)
	case !ok:
		w.WriteHeader(http.StatusNotFound)
	case a.cut > 0 && strings.HasPrefix(r.URL.Path, "/records/") && r.Header.Get("Range") == "":
		w.Header().Set("ETag", a.tag)
		w.Header().Set("Content-Length", strconv.Itoa(len(text)))
		w.Write([]byte(text[:a.cut]))
		w.(http.Flusher).Flush()
		panic(http.ErrAbortHandler)
	default:
		w.Header().Set("ETag", a.tag)
		w.Header().Set("Content-Type", "text/csv")
		http.ServeContent(w, r, "", time.Time{}, strings.NewReader(text))
	}
}

// TestFetchScripts runs whole commands against a loopback archive.
func TestFetchScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("whole commands one after the other: left out of the short run, which looks for races")
	}
	type key struct{}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "fetch"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			a, err := newPublicArchive()
			if err != nil {
				return err
			}
			srv := httptest.NewServer(a)
			e.Defer(srv.Close)
			e.Values[key{}] = a
			e.Setenv("HOME", filepath.Join(e.WorkDir, "home"))
			for k, v := range map[string]string{
				"STATIONS_ADDRESS": srv.URL + "/stations.txt", "INVENTORY_ADDRESS": srv.URL + "/inventory.txt",
				"RECORDS_ADDRESS": srv.URL + "/records/", "OUTLOOK_ADDRESS": srv.URL + "/outlook", "PAUSE_S": "0",
				"ALLOW_HTTP": "true", "ALLOW_PRIVATE": "true",
			} {
				e.Setenv("BLOOMTIDE_FETCH_"+k, v)
			}
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "narrow": narrow,
			// archive down|up|newer|cut: what the server does from now on.
			"archive": func(ts *testscript.TestScript, _ bool, args []string) {
				a, ok := ts.Value(key{}).(*publicArchive)
				if !ok || len(args) != 1 {
					ts.Fatalf("usage: archive down|up|newer|cut")
				}
				a.become(args[0])
			},
			// asked N: how often the server was asked since the last time.
			"asked": func(ts *testscript.TestScript, _ bool, args []string) {
				a, ok := ts.Value(key{}).(*publicArchive)
				if !ok || len(args) != 1 {
					ts.Fatalf("usage: asked TIMES")
				}
				if got := a.count(); strconv.Itoa(len(got)) != args[0] {
					ts.Fatalf("asked %d times: %v", len(got), got)
				}
			},
		},
	})
}

func (a *publicArchive) become(what string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.down, a.cut = what == "down", 0
	switch what {
	case "newer":
		a.tag = `"2"`
		for name, text := range a.files {
			if strings.HasPrefix(name, "/records/") {
				a.files[name] = text + strings.Replace(text[strings.LastIndex(text[:len(text)-1], "\n")+1:], "-12-31", "-12-30", 1)
			}
		}
	case "cut":
		a.cut = 100000
	}
}

func (a *publicArchive) count() []string {
	a.mu.Lock()
	defer a.mu.Unlock()
	out := a.asked
	a.asked = nil
	return out
}

// The store of the command keeps to what package fetch asks of one.
func TestDownloads(t *testing.T) {
	dir := t.TempDir()
	d, err := openDownloads(dir)
	require.NoError(t, err)
	_, err = openDownloads(dir)
	require.ErrorContains(t, err, "another bloomtide is fetching")

	_, err = d.Open("a/b.csv")
	require.ErrorContains(t, err, "no such file")
	_, err = d.Size("a/b.csv")
	require.Error(t, err)
	require.NoError(t, d.Remove("a/b.csv"))
	for _, c := range []struct {
		afresh bool
		text   string
		size   int64
	}{{false, "one", 3}, {false, "two", 6}, {true, "three", 5}} {
		f, err := d.Append("a/.b.part", c.afresh)
		require.NoError(t, err)
		_, err = f.Write([]byte(c.text))
		require.NoError(t, err)
		require.NoError(t, f.Close())
		size, err := d.Size("a/.b.part")
		require.NoError(t, err)
		require.Equal(t, c.size, size)
	}
	require.NoError(t, d.Rename("a/.b.part", "a/b.csv"))
	require.NoError(t, d.Write("a/b.csv", strings.NewReader("whole")))
	size, err := d.Size("a/b.csv")
	require.NoError(t, err)
	require.Equal(t, int64(5), size)
	_, err = d.Size("a")
	require.ErrorContains(t, err, "not a plain file")
	for _, out := range []string{"../x", "a/../../x"} {
		require.Error(t, d.Write(out, strings.NewReader("x")), out)
	}
	require.NoError(t, d.close())
	d, err = openDownloads(dir)
	require.NoError(t, err, "the lock ends with its holder")
	require.NoError(t, d.close())
}
