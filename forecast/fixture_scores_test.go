package forecast_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast/verify"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// fixtureDays is one year of the fixture of PHENOLOGY.md, section 4.6: invented
// weather of the days 1 to 200 and an invented day of bloom.
type fixtureDays struct {
	days  []phenology.Extremes
	bloom float64 // day of the year
}

func readFixtureDays(t testing.TB) []fixtureDays {
	read := func(name string) [][]string {
		f, err := os.Open(filepath.Join("..", "..", "shared", "science", name))
		if errors.Is(err, fs.ErrNotExist) {
			t.Skipf("not checked: no file %s on this machine", name)
		}
		require.NoError(t, err)
		defer f.Close()
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		return rows[1:]
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	var out []fixtureDays
	at := map[string]int{}
	for _, r := range read("synthetic_temps.csv") {
		i, ok := at[r[0]]
		if !ok {
			i = len(out)
			at[r[0]] = i
			out = append(out, fixtureDays{})
		}
		e := phenology.Extremes{Min: weather.Celsius(number(r[2])), Max: weather.Celsius(number(r[3]))}
		out[i].days = append(out[i].days, e)
	}
	for _, r := range read("synthetic_bloom.csv") {
		out[at[r[0]]].bloom = number(r[1])
	}
	return out
}

// gridModel is what the published recipe fits: the plain average above a lower
// threshold, from a day of the year, up to a need.
type gridModel struct{ lower, start, need, rmse float64 }

func (m gridModel) heat(e phenology.Extremes) float64 {
	limits := phenology.Thresholds{Lower: weather.Celsius(m.lower), Upper: weather.Celsius(math.Inf(1))}
	return float64(phenology.Method{Curve: phenology.Average}.Heat(e, limits))
}

// day returns the first day of the year by whose end the need is there; weather
// after the day of issue is that of another year, day of the year by day of the
// year, as the script that made the check values has it.
func (m gridModel) day(seen, ahead fixtureDays, issue float64) float64 {
	sum := 0.0
	for i := range seen.days {
		d := float64(i + 1)
		from := seen
		if d > issue {
			from = ahead
		}
		if d < m.start {
			continue
		}
		if sum += m.heat(from.days[i]); sum >= m.need {
			return d
		}
	}
	return math.Inf(1)
}

// fitGrid is the recipe of section 4.6: thresholds 0 to 10 by 0.5 °C, days 1, 6 …
// 91, the need the mean sum through the day of bloom, the least error in days;
// ties keep the first.
func fitGrid(years []fixtureDays) gridModel {
	best := gridModel{rmse: math.Inf(1)}
	for lower := 0.0; lower <= 10; lower += 0.5 {
		for start := 1.0; start <= 91; start += 5 {
			m := gridModel{lower: lower, start: start}
			for _, y := range years {
				for d := start; d <= y.bloom; d++ {
					m.need += m.heat(y.days[int(d)-1]) / float64(len(years))
				}
			}
			for _, y := range years {
				e := m.day(y, y, 999) - y.bloom
				m.rmse += e * e
			}
			if m.rmse = math.Sqrt(m.rmse / float64(len(years))); m.rmse < best.rmse-1e-12 {
				best = m
			}
		}
	}
	return best
}

func otherYears(all []fixtureDays, i int) []fixtureDays {
	return append(append([]fixtureDays{}, all[:i]...), all[i+1:]...)
}

// Computed outside this project by an independent script: PHENOLOGY.md, sections
// 4.6 (fit) and 5.4 (hindcast: 19 members spliced by date, everything fitted
// again in each fold).
func TestFixtureHindcastCheckValues(t *testing.T) {
	years := readFixtureDays(t)
	require.Len(t, years, 20)
	whole := fitGrid(years)
	require.InDelta(t, 4.5, whole.lower, 0)
	require.InDelta(t, 1, whole.start, 0)
	require.InDelta(t, 205.7925, whole.need, 0.5e-4)
	require.InDelta(t, 1.303840, whole.rmse, 0.5e-6)

	var own, mean verify.Errors
	var climNRG, climFair float64
	folds := make([]gridModel, len(years))
	for i, y := range years {
		others := otherYears(years, i)
		folds[i] = fitGrid(others)
		own = append(own, folds[i].day(y, y, 999)-y.bloom)
		var seen []float64
		sum := 0.0
		for _, o := range others {
			seen = append(seen, o.bloom)
			sum += o.bloom
		}
		mean = append(mean, sum/19-y.bloom)
		climNRG += verify.CRPS(seen, y.bloom) / 20
		climFair += verify.FairCRPS(seen, y.bloom) / 20
	}
	require.InDelta(t, 1.5, own.RMSE(), 0.5e-6)
	require.InDelta(t, 1.25, own.MAE(), 0.5e-6)
	require.InDelta(t, 7.809895, mean.RMSE(), 0.5e-6)
	require.InDelta(t, 7, mean.MAE(), 0.5e-6)
	require.InDelta(t, 0.963111, own.Skill(mean), 0.5e-6)
	require.InDelta(t, 4.667590, climNRG, 0.5e-6)
	require.InDelta(t, 4.434211, climFair, 0.5e-6)

	for _, c := range []struct{ issue, mae, nrg, fair, crpss float64 }{
		{46, 8.5500, 4.658310, 4.438304, -.0009},
		{60, 8.3000, 4.581579, 4.364620, .0157},
		{75, 7.5000, 4.423407, 4.215789, .0493},
		{90, 6.7500, 4.133795, 3.942690, .1108},
	} {
		var mae, nrg, fair float64
		for i, y := range years {
			var members []float64
			for _, z := range otherYears(years, i) {
				members = append(members, folds[i].day(y, z, c.issue))
			}
			mae += math.Abs(verify.Quantile(members, 0.5)-y.bloom) / 20
			nrg += verify.CRPS(members, y.bloom) / 20
			fair += verify.FairCRPS(members, y.bloom) / 20
		}
		require.InDelta(t, c.mae, mae, 0.5e-4, "issued on day %g", c.issue)
		require.InDelta(t, c.nrg, nrg, 0.5e-6, "issued on day %g", c.issue)
		require.InDelta(t, c.fair, fair, 0.5e-6, "issued on day %g", c.issue)
		require.InDelta(t, c.crpss, verify.SkillScore(fair, climFair), 0.5e-4, "issued on day %g", c.issue)
	}
}
