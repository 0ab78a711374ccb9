package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bloomtide/config"
	"bloomtide/forecast/web"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// demoHouse is a house with nothing configured.
func demoHouse(t *testing.T, data string) *house {
	t.Helper()
	s, err := config.Load(config.Options{})
	require.NoError(t, err)
	h, err := world{stderr: io.Discard, now: scriptDay}.openHouse(s, data)
	require.NoError(t, err)
	return h
}

// With nothing configured the page shows the invented counties; a county or a
// point says what is missing; an uploaded file mends it, also after a restart.
func TestHouseFromDemoToOwnFile(t *testing.T) {
	data := t.TempDir()
	h := demoHouse(t, data)
	require.Len(t, h.places(), 2)
	for _, p := range h.places() {
		require.True(t, p.Invented)
		require.Contains(t, demoOutlines(), p.ID, "it is on the map")
	}
	var away *web.NotHere
	_, err := h.find("53033", nil) // King County, Washington: FIPS 6-4
	require.ErrorAs(t, err, &away)
	require.Contains(t, err.Error(), "King, Washington")
	_, err = h.find("../../etc/passwd", nil)
	require.ErrorAs(t, err, &away)

	plain, packed, err := inventedRecord()
	require.NoError(t, err)
	seattle := &web.Point{Lat: 47.6, Lon: -122.3}
	for name, u := range map[string]web.Upload{
		"no temperatures":   {FileName: "diary.txt", Content: strings.NewReader("dear diary\n")},
		"too short":         {FileName: "w.csv", Content: strings.NewReader(plain[:3000])},
		"nothing":           {FileName: "w.csv", Content: strings.NewReader("")},
		"latitude not told": {FileName: "w.csv", Content: strings.NewReader(plain)},
		"name of a folder":  {FileName: "../../../etc/passwd", Content: strings.NewReader("x")},
	} {
		_, _, err := h.accept(u)
		require.Error(t, err, name)
		require.NotContains(t, err.Error(), data, name)
		kept, err := os.ReadDir(filepath.Join(data, "weather"))
		require.NoError(t, err)
		require.Empty(t, kept, name)
	}
	p, _, err := h.accept(web.Upload{FileName: "../w.csv.gz", Content: strings.NewReader(packed), Place: "Willow Bend", Point: seattle})
	require.NoError(t, err)
	require.Equal(t, "Willow Bend", p.Name)
	leftovers, err := filepath.Glob(filepath.Join(data, ".upload-*"))
	require.NoError(t, err)
	require.Empty(t, leftovers)

	for _, again := range []*house{h, demoHouse(t, data)} {
		require.Len(t, again.places(), 3)
		f, err := again.forecast(web.Ask{Place: p.ID, Issue: h.today(), BroodBoxes: 1, Stands: []web.Stand{{Plant: "black locust", Hectares: 3}}})
		require.NoError(t, err)
		require.Equal(t, 1, f.Apiary.Setup.BroodBoxes)
		king, err := again.find("53033", nil)
		require.NoError(t, err)
		require.Equal(t, "King, Washington", king.Name)
		_, err = again.find("", &web.Point{Lat: 47.7, Lon: -122.2})
		require.NoError(t, err)
	}
}

// What a kill left half written goes at the next start, unless it is so young
// that another program may be writing it; what is the keeper's stays.
func TestSweep(t *testing.T) {
	data := t.TempDir()
	demoHouse(t, data)
	for name, c := range map[string]struct {
		old   time.Duration
		stays bool
	}{
		".bloom.csv.123":       {2 * time.Hour, false},
		".hive-notes.csv.9":    {2 * time.Hour, false},
		"weather/.x-12.json.4": {2 * time.Hour, false},
		"calendar/.all.ics.77": {2 * time.Hour, false},
		".hive-notes.csv.10":   {time.Minute, true},
		"bloom.csv":            {2 * time.Hour, true},
		"hive-notes.csv":       {2 * time.Hour, true},
		".hidden":              {2 * time.Hour, true},
		"calendar/place-1.ics": {2 * time.Hour, true},
	} {
		file := filepath.Join(data, filepath.FromSlash(name))
		require.NoError(t, os.WriteFile(file, nil, 0o600))
		at := scriptDay().Add(-c.old)
		require.NoError(t, os.Chtimes(file, at, at))
		demoHouse(t, data)
		_, err := os.Stat(file)
		require.Equal(t, c.stays, err == nil, name)
	}
}

// What ingest and fetch have brought into the user's data folder is found from
// the map, where no weather file is named.
func TestHouseFindsTheArchive(t *testing.T) {
	home := t.TempDir()
	w := world{stdout: io.Discard, stderr: io.Discard, now: scriptDay, environ: []string{"XDG_DATA_HOME=" + home}}
	require.Equal(t, exitDone, run(t.Context(), []string{"ingest", filepath.Join("..", "..", "testdata", "seattle-weather.csv")}, w))
	s, err := config.Load(config.Options{})
	require.NoError(t, err)
	h, err := w.openHouse(s, filepath.Join(home, "bloomtide"))
	require.NoError(t, err)
	require.Len(t, h.places(), 2, "the demo is still listed")
	king, err := h.find("53033", nil)
	require.NoError(t, err)
	f, err := h.forecast(web.Ask{Place: king.ID, Issue: weather.YearMonthDay(2015, 3, 15), BroodBoxes: 1})
	require.NoError(t, err)
	require.Equal(t, []int{2014, 2013, 2012}, f.Members)
}

// What is recorded, published and secret outlives a kill: it is in place before
// the answer goes out. Beyond this machine the address holds a secret that
// stays.
func TestPageOverTheNetwork(t *testing.T) {
	data := t.TempDir()
	for _, c := range []struct {
		listen string
		secret bool
	}{{"127.0.0.1:0", false}, {"0.0.0.0:0", true}, {"0.0.0.0:0", true}} {
		ctx, stop := context.WithCancel(t.Context())
		said, ended := servedAt(ctx, data, c.listen)
		lines := make([]byte, 4096)
		n, err := said.Read(lines)
		require.NoError(t, err)
		go func() { _, _ = io.Copy(io.Discard, said) }()
		address, _, _ := strings.Cut(string(lines[:n]), "\n")
		require.Equal(t, c.secret, len(address) > len("http://127.0.0.1:65535/")+20, address)
		answer, err := http.Get(address + "feed/sarnholt-county/calendar.ics")
		require.NoError(t, err)
		b, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		require.Equal(t, http.StatusOK, answer.StatusCode, string(b))
		kept, err := filepath.Glob(filepath.Join(data, "calendar", "place-*.ics"))
		require.NoError(t, err)
		require.Len(t, kept, 1)
		require.Equal(t, string(b), source(t, kept[0]))
		stop()
		require.NoError(t, <-ended)
	}
	info, err := os.Stat(filepath.Join(data, "secret-address"))
	require.NoError(t, err)
	require.Zero(t, info.Mode().Perm()&0o077, "for its owner only")
}

// servedAt starts the page and returns what it says and how it ends.
func servedAt(ctx context.Context, data, listen string) (said *io.PipeReader, ended chan error) {
	said, say := io.Pipe()
	ended = make(chan error, 1)
	go func() {
		w := world{stdout: say, stderr: io.Discard, now: scriptDay}
		s, err := config.Load(config.Options{})
		if err == nil {
			err = w.serve(ctx, s, serveOptions{listen: listen, data: data})
		}
		_ = say.CloseWithError(err)
		ended <- err
	}()
	return said, ended
}

// The folder of calendars stays small, and nothing is read or written beside
// it.
func TestShelf(t *testing.T) {
	s := shelf{t.TempDir()}
	for _, name := range []string{"../x.ics", "a/b.ics", "/etc/passwd", "", "."} {
		require.Error(t, s.Write(name, []byte("x")), name)
		if name != "" && name != "." {
			_, _, err := s.Read(name)
			require.Error(t, err, name)
		}
	}
	for i := range mostCalendars + 5 {
		require.NoError(t, s.Write(fmt.Sprintf("place-%d.ics", i), []byte("x")))
	}
	left, err := os.ReadDir(s.folder)
	require.NoError(t, err)
	require.Len(t, left, mostCalendars)
}

func TestBadListenAddress(t *testing.T) {
	taken, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer taken.Close()
	for _, listen := range []string{taken.Addr().String(), "nowhere", "127.0.0.1:99999"} {
		var errs bytes.Buffer
		code := run(t.Context(), []string{"serve", "--data", t.TempDir(), "--listen", listen}, world{stdout: io.Discard, stderr: &errs, now: scriptDay})
		require.Equal(t, exitUsage, code)
		require.Contains(t, errs.String(), "hint: choose another port")
	}
}
