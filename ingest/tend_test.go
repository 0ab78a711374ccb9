package ingest

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Three invented stations of one course: a slip of the pen is rejected, a gap
// of two months comes back from the neighbours, and the record as read keeps
// its values.
func TestTend(t *testing.T) {
	course := func(i int) float64 { return float64((i*i*7+i*13)%97)/16 + 6*math.Sin(float64(i)/58) }
	station := func(name string, warmer float64, gapAt int) Source {
		return from(name, table(1200, func(i int, d string) string {
			v := course(i) + warmer
			if gapAt > 0 && i >= gapAt && i < gapAt+60 {
				return d + ",,"
			}
			if name == "a.csv" && i == 300 {
				return fmt.Sprintf("%s,%.1f,%.1f", d, v, v+60-warmer-course(i))
			}
			return fmt.Sprintf("%s,%.1f,%.1f", d, v, v+8)
		}))
	}
	records, err := Collect([]Source{station("a.csv", 0, 700), station("b.csv", 2, 0), station("c.csv", -3, 0), station("d.csv", 1, 0)}, Options{NoFill: true})
	require.NoError(t, err)
	others := func(i int) []int { return []int{0, 1, 2, 3} }
	got := Tend(records, TendOptions{Near: others})
	require.Len(t, got, 4)
	for _, r := range got {
		if r.Series.Site.ID != "a" {
			require.Empty(t, r.Checks.Findings)
			continue
		}
		require.GreaterOrEqual(t, r.Checks.Rejected, 1)
		require.NotEmpty(t, Summary(r.Checks.Counts))
		require.Equal(t, 121, len(r.FromNear.Estimates))
		require.Zero(t, r.Report.Missing)
		require.Equal(t, 61, r.Report.Estimated)
		for i := 700; i < 760; i++ {
			require.InDelta(t, course(i), float64(r.Series.Days[i].Min), 0.3)
		}
		require.False(t, r.Checks.Series.Days[300].MaxFlags.Usable())
	}
	bare := Tend(records, TendOptions{NoFill: true})
	require.Equal(t, 61, bare[3].Report.Missing+bare[2].Report.Missing+bare[1].Report.Missing+bare[0].Report.Missing)
	require.Empty(t, Summary(nil))
}
