package web

import (
	"net/url"
	"testing"

	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Every question has one address, and the address gives the question back.
func TestAddressHoldsEveryChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Ask{
			Place:      rapid.StringMatching(`[a-z0-9-]{0,20}`).Draw(t, "place"),
			Issue:      weather.YearMonthDay(2025, 1, 1) + weather.Date(rapid.IntRange(-9000, 9000).Draw(t, "issue")),
			BroodBox:   rapid.StringN(0, 20, mostName).Draw(t, "brood"),
			BroodBoxes: rapid.IntRange(0, mostBoxes).Draw(t, "boxes"),
			Super:      rapid.StringN(0, 20, mostName).Draw(t, "super"),
			Colonies:   float64(rapid.IntRange(0, mostColonies).Draw(t, "colonies")),
			US:         rapid.Bool().Draw(t, "us"),
		}
		if rapid.Bool().Draw(t, "a point") {
			a.Point = &Point{rapid.Float64Range(-90, 90).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon")}
		}
		for range rapid.IntRange(0, 5).Draw(t, "stands") {
			a.Stands = append(a.Stands, Stand{rapid.StringMatching(`[a-z&=+%;]+ [a-zäß]+`).Draw(t, "plant"), rapid.Float64Range(0.001, mostHectares).Draw(t, "ha")})
		}
		got, err := parseQuery(a.query())
		require.NoError(t, err)
		require.Equal(t, a, got)
	})
}

func FuzzParseQuery(f *testing.F) {
	f.Add("place=a&plant=b&ha=1&issue=2025-04-10&lat=1&lon=-1&units=us")
	f.Add("plant=a&plant=b&ha=1e400&boxes=-1")
	f.Fuzz(func(t *testing.T, query string) {
		a, err := parseQuery(query)
		if err != nil {
			return
		}
		again, err := parseQuery(a.query())
		require.NoError(t, err)
		require.Equal(t, a.query(), again.query())
		_, err = url.ParseQuery(a.query())
		require.NoError(t, err)
		for _, s := range a.Stands {
			require.True(t, s.Hectares > 0 && s.Hectares <= mostHectares)
		}
	})
}
