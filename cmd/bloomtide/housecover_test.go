package main

import (
	"io"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/config"
	"bloomtide/forecast/web"
	"bloomtide/ingest/weather"
)

// The list of cover stands in the form of the page; a line filled in there
// makes a stand, and the others stay left out by name.
func TestHouseShowsTheCover(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "cover.csv")
	require.NoError(t, writeFile(name, []byte("plant,hectares\nwhite clover,12\nbasswood,\n")))
	s, err := config.Load(config.Options{})
	require.NoError(t, err)
	s.Weather = []string{filepath.Join("..", "..", "testdata", "seattle-weather.csv")}
	s.Lat, s.Lon, s.Place, s.Cover = 47.6, -122.3, "Willow Bend", name
	w := world{stdout: io.Discard, stderr: io.Discard, now: scriptDay}
	h, err := w.openHouse(s, filepath.Join(dir, "data"))
	require.NoError(t, err)
	place := h.places()[0]
	require.Equal(t, []web.Stand{{Plant: "white clover", Hectares: 12}, {Plant: "basswood"}}, place.Ask.Stands)

	ask := place.Ask
	ask.Place, ask.Issue = place.ID, weather.YearMonthDay(2015, 3, 15)
	f, err := h.forecast(ask)
	require.NoError(t, err)
	require.False(t, f.Apiary.Relative)
	require.Equal(t, []string{"basswood"}, f.Apiary.Unmeasured)
	ask.Stands[1].Hectares = 2
	f, err = h.forecast(ask)
	require.NoError(t, err)
	require.Empty(t, f.Apiary.Unmeasured)
	require.Len(t, f.Apiary.Stands, 2)
}
