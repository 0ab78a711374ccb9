package chart_test

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"bloomtide/forecast"
	"bloomtide/forecast/chart"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden drawings anew; look at them before keeping them")

// widths of the golden drawings: a phone of 360 px less its margins, and paper.
var widths = map[string]int{"phone": chart.Narrow, "paper": chart.Wide}

// golden compares with a drawing that was looked at: rendered in a browser at
// 360 px and at 1200 px, letters whole, nothing over another.
func golden(t *testing.T, name string, draw func(io.Writer, chart.Options) error) {
	t.Helper()
	for size, width := range widths {
		t.Run(name+" "+size, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, draw(&b, chart.Options{ID: name, WidthPx: width}))
			file := filepath.Join("..", "..", "testdata", "golden", fmt.Sprintf("chart-%s-%s.svg", name, size))
			if *update {
				require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
				require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err, "go test ./forecast/chart -update writes it")
			require.Equal(t, string(want), b.String(), "the drawing changed: look at it, then go test ./forecast/chart -update")
		})
	}
}

// leadErrors are invented: errors that shrink as bloom comes nearer.
func leadErrors() []chart.LeadErrors {
	return []chart.LeadErrors{
		{LeadDays: 90, Errors: []float64{-9, -5, -1, 2, 6, 11}},
		{LeadDays: 60, Errors: []float64{-7, -4, 0, 2, 5, 8}},
		{LeadDays: 30, Errors: []float64{-4, -3, 0, 1, 3, 5}},
		{LeadDays: 14, Errors: []float64{-3, -1, 0, 1, 2, 3}},
		{LeadDays: 7, Errors: []float64{-1, -1, 0, 0, 1, 2}},
		{LeadDays: 0, Errors: nil},
	}
}

func TestGoldenDrawings(t *testing.T) {
	one, two := sketches()
	slow, sharp := one.forecast(), two.forecast()
	for _, c := range drawers() {
		golden(t, c.name, func(w io.Writer, o chart.Options) error { return c.draw(w, slow, o) })
	}
	golden(t, "room-us", func(w io.Writer, o chart.Options) error {
		o.US = true
		return chart.Room(w, sharp, o)
	})
	golden(t, "leadtime", func(w io.Writer, o chart.Options) error {
		return chart.LeadTime(w, "first bloom of apple", leadErrors(), o)
	})
	both, err := forecast.Compare([]forecast.Forecast{slow, sharp})
	require.NoError(t, err)
	for name, axis := range map[string]chart.Axis{"aligned-day": chart.DayOfYear, "aligned-flow": chart.SinceStart} {
		golden(t, name, func(w io.Writer, o chart.Options) error { return chart.Aligned(w, both, axis, o) })
	}
}
