package forecast_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
)

// The interval between visits is reckoned from gains and comb; the daily
// simulation of the colony, which knows nothing of that reckoning, is the
// judge. A keeper who comes as seldom as it allows, with two supers on from the
// start, keeps the hive from being honey-bound in nine of ten years.
func TestVisitDaysHoldInTheSimulation(t *testing.T) {
	lime := without(apiary(), "oilseed rape", "white clover")
	lime.Stands = []flow.Stand{{Plant: "small-leaved lime", Hectares: 40, PeakKgPerHaDay: 10}}
	for name, a := range map[string]forecast.Apiary{"clover": apiary(), "lime": lime} {
		t.Run(name, func(t *testing.T) {
			s := temperate.record(2006, 2025)
			issue := day(2026, time.April, 10)
			n := int(run(t, a, s, issue).Measures.VisitDays)
			every := func(n int) forecast.SetUp {
				return forecast.SetUp{Name: fmt.Sprint(n), Practice: hive.Practice{Upfront: 2, VisitDays: n}}
			}
			r, err := forecast.Trial(a, s, issue, []forecast.SetUp{every(n), every(4 * n), {Name: "never", Practice: hive.Practice{Upfront: 1, MostSupers: 1}}})
			require.NoError(t, err)
			for _, x := range r {
				t.Logf("%s: bound %.2f, congested %.0f", x.SetUp.Name, x.HoneyBoundShare, x.CongestedDays)
			}
			require.LessOrEqual(t, r[0].HoneyBoundShare, 0.1)
			require.Less(t, r[0].CongestedDays[2], r[2].CongestedDays[2], "the simulation would notice")
		})
	}
}
