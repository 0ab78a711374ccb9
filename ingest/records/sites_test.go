package records_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"bloomtide/ingest/records"

	"github.com/stretchr/testify/require"
)

// The list beside the shared bloom records, against its lines as printed there.
func TestReadSharedSites(t *testing.T) {
	const file = "../../../shared/data/bloom/sites.csv"
	f, err := os.Open(file)
	if err != nil {
		t.Skip("the shared bloom records are not here")
	}
	defer f.Close()
	sites, err := records.ReadSites(f, file)
	require.NoError(t, err)
	require.Contains(t, sites, records.Site{ID: "prunus-avium-ch-dornach", Name: "Dornach", LatDeg: 47.4816, LonDeg: 7.6111, HighM: 300})
}

func TestReadSites(t *testing.T) {
	const head = "site_id,note,lat,lon,alt_m\n"
	for _, c := range []struct{ name, text, wrong string }{
		{"without longitude", "site_id,lat\nbend,-33.5\n", ""},
		{"no latitude column", "site_id,lon\nbend,3\n", `sites.csv:1: no column "lat"; the first line names the columns: site_id,lat`},
		{"latitude", head + "bend,,95,3,4\n", "sites.csv:2:3: lat \"95\" is outside -90..90; give degrees, south negative"},
		{"longitude", head + "bend,,45,x,4\n", "sites.csv:2:4: lon \"x\" is not a number; write a number such as 12.5"},
		{"height", head + "bend,,45,3,9999\n", "sites.csv:2:5: alt_m \"9999\" is outside -500..9000; give metres above sea level"},
		{"no site", head + ",,45,3,4\n", "sites.csv:2:1: site_id \"\" is empty; name the site as the bloom dates do"},
	} {
		t.Run(c.name, func(t *testing.T) {
			sites, err := records.ReadSites(strings.NewReader(c.text), "sites.csv")
			if c.wrong != "" {
				require.EqualError(t, err, c.wrong)
				return
			}
			require.NoError(t, err)
			require.Len(t, sites, 1)
			require.Equal(t, -33.5, sites[0].LatDeg)
			require.True(t, math.IsNaN(sites[0].LonDeg) && math.IsNaN(sites[0].HighM))
		})
	}
}

func FuzzReadSites(f *testing.F) {
	f.Add("site_id,lat,lon,alt_m\nbend,45.5,-100,300\n")
	f.Add("site_id;lat\n\"x\n")
	f.Fuzz(func(t *testing.T, text string) {
		sites, err := records.ReadSites(strings.NewReader(text), "x")
		if err != nil {
			return
		}
		for _, s := range sites {
			require.True(t, s.ID != "" && s.LatDeg >= -90 && s.LatDeg <= 90)
		}
	})
}
