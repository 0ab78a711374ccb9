package chart_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bloomtide/config"
	"bloomtide/forecast"
	"bloomtide/forecast/chart"
	"bloomtide/ingest"
	"bloomtide/ingest/demo"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// invented forecasts an invented county of the demo.
func invented(t testing.TB, id, name string) forecast.Forecast {
	t.Helper()
	yaml, err := os.ReadFile(filepath.Join("..", "..", "cmd", "bloomtide", "demo", id+".yaml"))
	require.NoError(t, err)
	s, err := config.Load(config.Options{Content: yaml})
	require.NoError(t, err)
	file, content, err := demo.File(id)
	require.NoError(t, err)
	records, err := ingest.Collect([]ingest.Source{{Name: file, Reader: bytes.NewReader(content)}}, ingest.Options{})
	require.NoError(t, err)
	plants, err := config.Plants()
	require.NoError(t, err)
	a, err := s.Apiary(plants)
	require.NoError(t, err)
	a.Name, a.Invented = name, true
	series := records[0].Series
	series.Site.Point = orb.Point{s.Lon, s.Lat}
	f, err := forecast.Run(a, series, demo.Issue)
	require.NoError(t, err)
	return f
}

type drawer struct {
	name string
	draw func(io.Writer, forecast.Forecast, chart.Options) error
}

func drawers() []drawer {
	return []drawer{{"season", chart.Season}, {"gain", chart.Gain}, {"room", chart.Room}, {"stores", chart.Stores}}
}

// wellFormed reads the drawing with an XML parser and returns its words.
func wellFormed(t *testing.T, svg []byte) string {
	t.Helper()
	var words strings.Builder
	elements := map[string]int{}
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch x := token.(type) {
		case xml.StartElement:
			elements[x.Name.Local]++
			for _, a := range x.Attr {
				require.False(t, strings.HasPrefix(a.Name.Local, "on"), "no script in an attribute")
				require.NotContains(t, a.Value, "NaN")
			}
		case xml.CharData:
			words.Write(x)
			words.WriteByte(' ')
		}
	}
	require.Positive(t, elements["title"], "Web Content Accessibility Guidelines 2.2, 1.1.1")
	require.Positive(t, elements["desc"])
	require.Positive(t, elements["text"], "text is text")
	require.Zero(t, elements["script"])
	require.Zero(t, elements["image"], "nothing is fetched")
	return words.String()
}

func TestChartsAreReadableDrawings(t *testing.T) {
	for _, county := range []string{demo.Sarnholt, demo.Quillmarsh} {
		f := invented(t, county, `<script>alert("x")</script> & Co`)
		for _, c := range drawers() {
			for _, o := range []chart.Options{{}, {WidthPx: chart.Narrow, US: true, ID: "a1", Bare: true}} {
				t.Run(county+" "+c.name, func(t *testing.T) {
					var one, two bytes.Buffer
					require.NoError(t, c.draw(&one, f, o))
					require.NoError(t, c.draw(&two, f, o))
					require.Equal(t, one.String(), two.String(), "the same bytes for the same forecast")
					require.NotContains(t, one.String(), "<script")
					wellFormed(t, one.Bytes())
				})
			}
		}
	}
}

func TestSeasonNamesWhatFeedsTheHive(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, chart.Season(&b, invented(t, demo.Sarnholt, "Sarnholt County"), chart.Options{}))
	words := wellFormed(t, b.Bytes())
	for _, plant := range []string{"willow", "dandelion", "apple", "black locust", "basswood", "goldenrod"} {
		require.Contains(t, words, plant)
	}
}

func TestRelativeGainShowsNoKilograms(t *testing.T) {
	f := invented(t, demo.Sarnholt, "Sarnholt County")
	f.Apiary.Relative = true
	for i := range f.Flows {
		f.Flows[i].Relative = true
	}
	var b bytes.Buffer
	require.NoError(t, chart.Gain(&b, f, chart.Options{}))
	require.NotContains(t, wellFormed(t, b.Bytes()), " kg")
}

func TestEmptyForecastIsStillADrawing(t *testing.T) {
	for _, c := range drawers() {
		var b bytes.Buffer
		require.NoError(t, c.draw(&b, forecast.Forecast{Issue: demo.Issue}, chart.Options{}), c.name)
		wellFormed(t, b.Bytes())
	}
}

func TestLeadTime(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, chart.LeadTime(&b, "black locust", nil, chart.Options{}))
	wellFormed(t, b.Bytes())
}

func BenchmarkSeason(b *testing.B) {
	f := invented(b, demo.Sarnholt, "Sarnholt County")
	for b.Loop() {
		if err := chart.Season(io.Discard, f, chart.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
