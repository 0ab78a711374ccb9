package phenology_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// sweetCherry is full bloom of the sweet cherries Burlat and Van at Ullensvang,
// Norway: 254 °C·d above 2 °C by Baskerville and Emin's single sine from 1 March
// (Meland et al. 2017, Acta Hort. 1162, abstract read at ishs.org).
var sweetCherry = phenology.Model{
	Plant: "sweet cherry", Taxon: "Prunus avium",
	Biofix: phenology.Biofix{Month: 3, Day: 1},
	Clock:  phenology.Clock{Method: singleSine, Thresholds: phenology.Thresholds{Lower: 2, Upper: weather.Celsius(math.Inf(1))}},
	Onset:  254, Status: phenology.Published, Source: "Meland et al. 2017",
}

// transferDays is the error to expect of a published figure used in another
// place without local data: 7 to 12 days (../shared/science/PHENOLOGY.md,
// section 4.5, an estimate from its accuracy table).
const transferDays = 12

// A figure from a Norwegian fjord, unchanged, against full bloom of cherry at two
// places in Switzerland: MeteoSwiss phenology and MeteoSwiss daily temperatures
// of Basel and Sion, CC BY 4.0, in ../shared/data/bloom.
func TestPredictRealCherries(t *testing.T) {
	for _, c := range []struct {
		site   string
		latDeg float64
	}{
		{"prunus-avium-ch-dornach", 47.4816},
		{"prunus-avium-ch-leytron", 46.1863},
	} {
		t.Run(c.site, func(t *testing.T) {
			series := readDaily(t, c.site, c.latDeg)
			n, bias, mae := 0.0, 0.0, 0.0
			for _, row := range shared(t, "data", "bloom", "bloom.csv") {
				if row["site_id"] != c.site {
					continue
				}
				seen, err := weather.ParseDate(row["date"])
				require.NoError(t, err)
				require.Equal(t, row["doy"], strconv.Itoa(seen.DayOfYear()))
				start := phenology.YearStart(c.latDeg, seen.Year())
				season, err := phenology.NewSeason(series, start, weather.YearMonthDay(seen.Year(), 7, 31))
				require.NoError(t, err)
				b, ok := sweetCherry.Predict(sweetCherry.Clock.Sums(season), seen.Year())
				require.True(t, ok)
				n++
				bias += float64(b.Onset - seen)
				mae += math.Abs(float64(b.Onset - seen))
			}
			require.GreaterOrEqual(t, n, 20.0)
			t.Logf("%.0f years: mean absolute error %.2f days, bias %+.2f days", n, mae/n, bias/n)
			require.Less(t, mae/n, float64(transferDays))
		})
	}
}

func readDaily(t *testing.T, site string, latDeg float64) weather.Series {
	rows := shared(t, "data", "bloom", "daily", site+".csv")
	s := weather.Series{Site: weather.Site{ID: site, Point: [2]float64{7, latDeg}}}
	for i, row := range rows {
		d, err := weather.ParseDate(row["date"])
		require.NoError(t, err)
		if i == 0 {
			s.Start = d
		}
		for s.End() < d {
			s.Days = append(s.Days, weather.Day{})
		}
		require.Equal(t, s.End(), d)
		if row["tmin"] == "" || row["tmax"] == "" {
			s.Days = append(s.Days, weather.Day{})
			continue
		}
		s.Days = append(s.Days, observed(number(t, row["tmin"]), number(t, row["tmax"])))
	}
	return s
}
