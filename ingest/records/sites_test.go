package records_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"
)

func TestReadSites(t *testing.T) {
	got, err := records.ReadSites(strings.NewReader("\ufeffsite_id,name,lat,lon\na,Ashmere (invented),-36.5,\nb,,47,8.25\n"), "s.csv")
	require.NoError(t, err)
	require.Len(t, got, 2)
	require.Equal(t, "a", got[0].ID)
	require.InDelta(t, -36.5, got[0].LatDeg, 0)
	require.True(t, got[0].LonDeg != got[0].LonDeg, "not told")
	require.InDelta(t, 8.25, got[1].LonDeg, 0)
	require.Equal(t, 3, got[1].Line)

	for text, want := range map[string]string{
		"":                              "s.csv:1: no header",
		"site_id,lat\n":                 "s.csv: holds no site",
		"site,lat\na,1\n":               `s.csv:1: no column "site_id"`,
		"site_id,lat\na,north\n":        `s.csv:2:2: lat "north" is not a latitude; write degrees`,
		"site_id,lat\na,91\n":           `s.csv:2:2: lat "91"`,
		"site_id,lat\na,NaN\n":          `s.csv:2:2: lat "NaN"`,
		"site_id,lat\n../a,1\n":         `s.csv:2:1: site_id "../a" is not the name of a site`,
		"site_id,lat,lon\na,1,200\n":    `s.csv:2:3: lon "200" is not a longitude`,
		"site_id,lat\na,1\nb,2\na,3\n":  `s.csv:4:1: site "a" stands twice; keep one`,
		"site_id,lat\na,x\nb,2\nc,99\n": "s.csv:4:2",
	} {
		_, err := records.ReadSites(strings.NewReader(text), "s.csv")
		require.ErrorContains(t, err, strings.Replace(want, "s.csv: holds", "s.csv:1: holds", 1), "%q", text)
		bad := new(weather.SyntaxError)
		require.ErrorAs(t, err, &bad)
		require.NotEmpty(t, bad.Mend)
	}
}

// The list beside the shared bloom records, against its line as printed there.
func TestReadSharedSites(t *testing.T) {
	const file = "../../../shared/data/bloom/sites.csv"
	f, err := os.Open(file)
	if err != nil {
		t.Skip("the shared bloom records are not here")
	}
	defer f.Close()
	sites, err := records.ReadSites(f, file)
	require.NoError(t, err)
	require.Contains(t, sites, records.Site{ID: "prunus-avium-ch-dornach", LatDeg: 47.4816, LonDeg: 7.6111, Line: 3})
}

func FuzzReadSites(f *testing.F) {
	f.Add("site_id,lat,lon\na,-36.5,\nb,47,8.25\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := records.ReadSites(strings.NewReader(text), "s.csv")
		if err != nil {
			require.ErrorContains(t, err, "s.csv")
			return
		}
		require.NotEmpty(t, got)
		for _, s := range got {
			require.NotEmpty(t, s.ID)
			require.True(t, s.LatDeg >= -90 && s.LatDeg <= 90)
		}
	})
}
