package config

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// observed reads the bloom dates of MeteoSwiss stations in 2023 (CC BY 4.0):
// station, then parameter, then day of the year.
func observed(t *testing.T) map[string]map[string]int {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "shared", "data", "bloom", "phenology-recent-2023.csv"))
	if os.IsNotExist(err) {
		t.Skip("the open bloom dates lie beside the repository and are not here")
	}
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma = ';'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	out := map[string]map[string]int{}
	for _, row := range rows[1:] {
		day, err := strconv.Atoi(row[4])
		require.NoError(t, err)
		if out[row[1]] == nil {
			out[row[1]] = map[string]int{}
		}
		out[row[1]][row[0]] = day
	}
	return out
}

// The rows that are dated by days before or after horsechestnut say the days
// that the stations show; and the table keeps the order that they show.
func TestDaysFromHorsechestnutAreThoseOfTheStations(t *testing.T) {
	const horsechestnut = "602" // start of flowering
	stations := observed(t)
	for _, c := range []struct {
		plant, parameter string
		full             bool
		days             float64 // median, days after horsechestnut opens
		stations         int
	}{
		{"pear", "663", false, -16, 76},
		{"apple", "665", false, -8, 80},
		{"apple", "666", true, -2.5, 78},
		{"dandelion", "656", true, -19, 84},
		{"rowan", "612", false, 6, 60},
		{"elder", "627", false, 21, 69},
		{"fireweed", "657", true, 46, 9},
		{"chestnut", "648", false, 46, 20},
	} {
		t.Run(c.plant, func(t *testing.T) {
			var days []float64
			for _, s := range stations {
				a, okA := s[c.parameter]
				b, okB := s[horsechestnut]
				if okA && okB {
					days = append(days, float64(a-b))
				}
			}
			slices.Sort(days)
			require.Len(t, days, c.stations)
			require.InDelta(t, c.days, (days[(len(days)-1)/2]+days[len(days)/2])/2, 0.5)
			chestnut, m := tableModel(t, "horsechestnut").Model, tableModel(t, c.plant).Model
			require.Equal(t, chestnut.Clock, m.Clock, "compared on one clock")
			heat := m.Onset
			if c.full {
				heat = m.Peak
			}
			perDay := float64(heat-chestnut.Onset) / c.days
			require.InDelta(t, 14, perDay, 5, "degree days a day, °C·d: April has about 10, June about 18")
		})
	}
}
