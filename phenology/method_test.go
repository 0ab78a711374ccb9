package phenology_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/phenology"
)

func TestParseMethod(t *testing.T) {
	for s, want := range map[string]phenology.Method{
		"single sine":                   {},
		"Double Sine":                   doubleSine,
		" single triangle ":             singleTriangle,
		"double triangle, horizontal":   doubleTriangle,
		"average":                       plain,
		"modified average":              modified,
		"single sine, vertical":         {Cutoff: phenology.Vertical},
		"double sine,intermediate":      {Double: true, Cutoff: phenology.Intermediate},
		"single triangle , vertical ":   {Curve: phenology.Triangle, Cutoff: phenology.Vertical},
		"Double Triangle, Intermediate": {Curve: phenology.Triangle, Double: true, Cutoff: phenology.Intermediate},
	} {
		got, err := phenology.ParseMethod(s)
		require.NoError(t, err, s)
		require.Equal(t, want, got, s)
	}
}

func TestParseMethodErrors(t *testing.T) {
	for s, listed := range map[string]string{
		"":                         "double triangle",
		"sine":                     "single sine",
		"single  sine":             "single sine",
		"vertical":                 "modified average",
		"single sine,":             "horizontal, intermediate, vertical",
		"single sine, diagonal":    "horizontal, intermediate, vertical",
		"average, vertical, twice": "horizontal, intermediate, vertical",
	} {
		m, err := phenology.ParseMethod(s)
		require.ErrorContains(t, err, `"`+s+`"`, "the error shows the value")
		require.ErrorContains(t, err, listed, "the error lists what is understood")
		require.Zero(t, m)
	}
}

func TestMethodRoundTrip(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range curves {
		for _, cutoff := range cutoffs {
			m.Cutoff = cutoff
			got, err := phenology.ParseMethod(m.String())
			require.NoError(t, err)
			require.Equal(t, m, got)
			require.False(t, seen[m.String()], "two methods are called %s", m)
			seen[m.String()] = true
		}
	}
	require.Len(t, seen, len(curves)*len(cutoffs))
	_, err := phenology.ParseMethod(phenology.Method{Curve: 200}.String())
	require.Error(t, err)
}

func FuzzParseMethod(f *testing.F) {
	for _, s := range []string{"single sine", "double triangle, vertical", "average,", "AVERAGE , horizontal", ",", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := phenology.ParseMethod(s)
		if err != nil {
			require.Zero(t, m)
			return
		}
		again, err := phenology.ParseMethod(m.String())
		require.NoError(t, err)
		require.Equal(t, m, again)
	})
}
