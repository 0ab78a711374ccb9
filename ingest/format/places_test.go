package format

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPlaces reads lists of stations in the layouts of their publishers; the
// stations are invented, the values are those of the text.
func TestPlaces(t *testing.T) {
	const lat, lon, elev = 47.8413, 8.8493, 478.0
	for _, c := range []struct {
		name, text, id, called string
		elev                   bool
	}{
		{"GHCN list", "QZ000000001  47.8413    8.8493  478.0    QUILL BRIDGE                   GSN     10838\n", "QZ000000001", "QUILL BRIDGE", true},
		{"GHCN inventory", "QZ000000001  47.8413    8.8493 TMAX 1973 2025\nQZ000000001  47.8413    8.8493 TMIN 1973 2025\n", "QZ000000001", "", false},
		{"DWD list", "Stations_id von_datum bis_datum Stationshoehe geoBreite geoLaenge Stationsname Bundesland Abgabe\n" +
			"----------- --------- --------- ------------- --------- --------- ----------------------------------------- ---------- ------\n" +
			"00001 19370101 19860630            478     47.8413    8.8493 Quillbr\xfccke am Berg                       Baden-W\xfcrttemberg                       Frei\n", "00001", "Quillbrücke am Berg", true},
		{"DWD places", "Stations_id;Stationshoehe;Geogr.Breite;Geogr.Laenge;von_datum;bis_datum;Stationsname\n" +
			"          1; 400.00;47.0000;   8.0000;18930101;19361231;Quill alt\n          1; 478.00;47.8413;   8.8493;19370101;        ;Quill neu\n", "00001", "Quill neu", true},
		{"MeteoSwiss table", "station_abbr;station_name;station_canton;station_data_since;station_height_masl;station_coordinates_wgs84_lat;station_coordinates_wgs84_lon\n" +
			"QUI;Quill;ZZ;01.01.1951;478.0;47.8413;8.8493\n", "QUI", "Quill", true},
		{"MeteoSwiss older table", "Station;station/location;WIGOS-ID;Data since;Station height m. a. sea level;CoordinatesE;CoordinatesN;Latitude;Longitude\n" +
			"Quill;QUI;0-0;1.1.1951;478;1;2;47.8413;8.8493\n", "QUI", "Quill", true},
		{"ECA&D table", "EUROPEAN CLIMATE ASSESSMENT & DATASET (ECA&D)\n\nFILE FORMAT (MISSING VALUE CODE IS -999):\n\n01-05 STAID: Station identifier\n\n" +
			"STAID,STANAME                                 ,CN,      LAT,       LON,HGHT\n" +
			"    1,QUILL                                   ,ZZ,+47:50:28.68,+008:50:57.48, 478\n", "1", "QUILL", true},
		{"KNMI list", "# STN         LON(east)   LAT(north)  ALT(m)      NAME\n# 260         8.8493       47.8413      478.00        Quill Bridge\n", "260", "Quill Bridge", true},
		{"BOM list", "Bureau of Meteorology product IDCJMC0014.                                       Produced: 12 Sep 2020\n" +
			"Site    Dist  Site name                Start     End      Lat      Lon       Source  STA Height (m)\n" +
			"------- ----- ------------------------ -------- -------- -------- --------- ------- --- ----------\n" +
			" 001000 01    QUILL BRIDGE                1940    1983   47.8413    8.8493  .....   WA       478.0\n", "001000", "QUILL BRIDGE", true},
		{"own table", "station,name,latitude,longitude,elevation\nq1,Quill,47.8413,8.8493,478\n", "q1", "Quill", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.True(t, LooksLikePlaces([]byte(c.text)))
			sites, ok := Places(strings.NewReader(c.text), c.name)
			require.True(t, ok)
			require.Len(t, sites, 1)
			s := sites[0]
			require.Equal(t, c.id, s.ID)
			require.Equal(t, c.called, s.Name)
			require.InDelta(t, lat, s.LatDeg(), 1e-6)
			require.InDelta(t, lon, s.Point.Lon(), 1e-6)
			if c.elev {
				require.Equal(t, elev, s.ElevM)
			}
		})
	}
}

// TestNoPlaces holds that records of days are no lists, and that damaged lists
// name the line.
func TestNoPlaces(t *testing.T) {
	for _, text := range []string{plainHead, ghcnHead, dwdHead, longHead, dlyLine("   10  S") + "\n", "", "station,latitude,longitude,date,wind\nq,1,2,2020-01-01,3\n"} {
		_, ok := Places(strings.NewReader(text), "f")
		require.False(t, ok, text)
	}
	require.False(t, LooksLikePlaces([]byte(ghcnHead)))
	for _, c := range []struct{ text, says string }{
		{"station,latitude,longitude\nq,47.5,8\nr,4x,8\n", "f:3:2: no station with a position"},
		{"station,latitude,longitude\nq,47.5,8\nr,47:61,8\n", "f:3:2: no station with a position"},
		{"station,latitude,longitude\nq\n", "f:2: 1 columns where a station needs 3; the line is torn"},
		{"STN LON(east) LAT(north) ALT(m) NAME\n260 x 47 4 Quill\n260 5.1 x 4 Quill\n260 5\n", "f:2:3: no position"},
		{"QZ000000001  47.8413    8.8493 TMAX 1973 2025\nQZ0000\n", "f:2: not a line of an inventory"},
	} {
		_, got, faults := readings(t, "f", []byte(c.text), Options{})
		require.Empty(t, got)
		require.NotEmpty(t, faults)
		require.ErrorContains(t, faults[0], c.says)
	}
}

// FuzzPlaces reads anything as a list: positions are on the globe or unknown.
func FuzzPlaces(f *testing.F) {
	seed(f, "ghcn-stations", "eccc")
	f.Add([]byte("STAID,STANAME,CN,LAT,LON,HGHT\n1,Q,ZZ,+47:50:28,-008:50:57,478\n"))
	f.Add([]byte("Site Name Lat Lon\n---- ---- --- ---\n1 q 47 8\n"))
	f.Add([]byte("Stations_id von_datum bis_datum Stationshoehe geoBreite geoLaenge Stationsname\n1 1 1 478 47.8 8.8 Q  Z\n"))
	f.Add([]byte("STN LON LAT ALT NAME\n260 5.1 52.1 4 Q\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		sites, _ := Places(strings.NewReader(string(b)), "f")
		for _, s := range sites {
			if s.Located() {
				require.LessOrEqual(t, max(s.LatDeg(), -s.LatDeg()), 90.0)
				require.LessOrEqual(t, max(s.Point.Lon(), -s.Point.Lon()), 360.0)
			}
			require.False(t, s.ElevM < -500 || s.ElevM > 9000)
		}
	})
}
