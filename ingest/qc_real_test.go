package ingest

import (
	"testing"

	"bloomtide/ingest/qc"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// NOAA has run its own checks over Kyoto and Ottawa and flagged what failed.
// With the flags taken off, ours must find the flagged extremes again where
// the station's own record can show them, and leave the rest alone.
func TestChecksAgainstThoseOfNOAA(t *testing.T) {
	for _, c := range []struct {
		name  string
		found int
	}{{"ghcn-dly/CA006105976.dly", 0}, {"ghcn-access/JA000047759.csv", 34}} { // Ottawa's six need neighbours
		got, err := Collect(realSources(t, c.name), Options{NoFill: true})
		require.NoError(t, err)
		s := got[0].Series
		bare := s
		bare.Days = append([]weather.Day(nil), s.Days...)
		for i := range bare.Days {
			bare.Days[i].MinFlags &^= weather.Rejected
			bare.Days[i].MaxFlags &^= weather.Rejected
		}
		r := qc.Station(bare, qc.Options{})
		doubted := map[weather.Date]bool{} // by a minimum, whose day beside is in doubt with it
		for _, f := range r.Findings {
			if f.Check != "change point" && f.Through == f.Date {
				for d := f.Date - 1; d <= f.Through+1; d++ {
					doubted[d] = true
				}
			}
		}
		var theirs, found, besides, good int
		for i := range s.Days {
			was, now := s.Days[i], r.Series.Days[i]
			for _, f := range [][2]weather.Flags{{was.MinFlags, now.MinFlags}, {was.MaxFlags, now.MaxFlags}} {
				switch {
				case f[0] == 0:
				case f[0]&weather.Rejected != 0:
					theirs++
					if doubted[s.Start+weather.Date(i)] {
						found++
					}
				default:
					good++
					if f[1]&weather.Rejected != 0 {
						besides++
					}
				}
			}
		}
		t.Logf("%s: NOAA flags %d, found again %d; rejected besides %d of %d; %v", c.name, theirs, found, besides, good, r.Counts)
		require.GreaterOrEqual(t, found, c.found)
		require.Less(t, float64(besides), 0.0002*float64(good))
	}
}

// Records that their services have checked: nothing may be rejected. Sydney's
// 45.8 °C of 18 January 2013 is its known record (Bureau of Meteorology, from
// memory), and 6.7 standard deviations off.
// Sydney's minima of July 1865 are those of July 1864 day by day, and three
// more months of the 1800s and 1900s are copies too, which awk shows as well.
func TestFewFindingsInCheckedRecords(t *testing.T) {
	for _, names := range [][]string{
		{"dwd-kl/r-work_data_00433-historical.txt"},
		{"bom/IDCJAC0010_066062_1800_Data.csv", "bom/IDCJAC0011_066062_1800_Data.csv"},
		{"meteoswiss/nbcn_D_historical_BAS.csv"},
		{"nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv"},
		{"cdo-export/tinius_dc_temps_celsius.csv"},
	} {
		got, err := Collect(realSources(t, names...), Options{NoFill: true})
		require.NoError(t, err)
		r := qc.Station(got[0].Series, qc.Options{})
		t.Logf("%s: %d of %d values rejected; %v", names[0], r.Rejected, 2*len(r.Series.Days), r.Counts)
		require.Zero(t, r.Rejected)
		require.Less(t, len(r.Findings), 40)
	}
}
