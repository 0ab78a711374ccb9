package report

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
)

// No text of any task is printed with a blank that nothing filled, and none
// has a value that no blank takes.
func TestNoTextHasAnOpenBlank(t *testing.T) {
	for _, f := range everyFacts() {
		for _, k := range hive.Kinds() {
			for n := 1; n <= 3; n++ {
				a := hive.Advise(k, n, f)
				for name, r := range map[string]hive.Reason{"why": a.Why, "check": a.Check, "late": a.Late, "care": a.Care} {
					for _, u := range []Units{Metric, US} {
						got := ReasonText(forecast.Forecast{}, r, Options{Units: u})
						require.NotContains(t, got, "{}", "%s %d %s, relative %v", k, n, name, f.Relative)
					}
					r.Values = append(r.Values[:len(r.Values):len(r.Values)], hive.Value{Number: 987654, Unit: hive.Count})
					require.NotContains(t, ReasonText(forecast.Forecast{}, r, Options{}), "987654", "%s %d %s", k, n, name)
				}
			}
		}
	}
}

// Without known cover the check for syrup names no amount; with it, it does.
func TestSyrupCheckNamesAmountsWhereKnown(t *testing.T) {
	f := hive.Facts{Setup: hive.Setup{}.WithDefaults(), StoresKg: 20, HaveKg: 15, SyrupKg: 5}
	known := ReasonText(forecast.Forecast{}, hive.Advise(hive.FeedSyrup, 1, f).Check, Options{})
	require.Regexp(t, `^want 5(\.0)? kg of sugar, \d+(\.\d)? L of two to one; `, known)
	f.Relative = true
	require.NotRegexp(t, `\d`, ReasonText(forecast.Forecast{}, hive.Advise(hive.FeedSyrup, 1, f).Check, Options{}))
}

func everyFacts() []hive.Facts {
	var out []hive.Facts
	for _, relative := range []bool{false, true} {
		for _, noWinter := range []bool{false, true} {
			for _, short := range []float64{0, 5} {
				for _, shape := range []flow.Shape{flow.ShortSharp, flow.Middling} {
					out = append(out, hive.Facts{Setup: hive.Setup{}.WithDefaults(), Relative: relative, NoWinter: noWinter, SyrupKg: short, StoresKg: 20, Shape: shape})
				}
			}
		}
	}
	return out
}
