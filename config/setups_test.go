package config

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestOwnSetUps(t *testing.T) {
	all, err := ReadSetUps("setups.csv", bytes.NewReader(SetUpsCSV()))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(all), 4)
	for _, s := range all {
		require.NotEmpty(t, s.Name)
		require.Positive(t, s.Hive.BroodBoxes)
		require.LessOrEqual(t, len(s.Name), 28, "%s does not fit the table", s.Name)
	}
	own, err := ReadSetUps("own.csv", strings.NewReader("name,brood_box,brood_boxes,super,foundation\nmine,\"Zander, 10 frames\",2,\"Zander, 10 frames\",0.5\n"))
	require.NoError(t, err)
	require.Equal(t, 1, own[0].Practice.Upfront)
	require.Zero(t, own[0].Practice.VisitDays, "never")
	require.InDelta(t, 0.5, own[0].Hive.Foundation, 1e-12)
	require.Equal(t, "Zander, 10 frames", own[0].Hive.BroodBox.Name)
}

func TestBadSetUps(t *testing.T) {
	const header = "name,brood_box,brood_boxes,super,up_front,most_supers,visit_days,foundation\n"
	const box = `"Zander, 10 frames"`
	for row, want := range map[string]string{
		"," + box + ",1," + box + ",,,,\n":         `s.csv:2:1: name "" is empty`,
		"x,Tall,1," + box + ",,,,\n":               `s.csv:2:2: brood_box "Tall" is no box that is known`,
		"x," + box + ",0," + box + ",,,,\n":        `s.csv:2:3: brood_boxes "0" leaves no box for the brood; a super goes on over a brood box`,
		"x," + box + ",-1," + box + ",,,,\n":       `s.csv:2:3: brood_boxes "-1" is outside 1..6`,
		"x," + box + ",1," + box + ",4,2,7,\n":     `s.csv:2:5: up_front "4" is more than most_supers`,
		"x," + box + ",1," + box + ",1,1,daily,\n": `s.csv:2:7: visit_days "daily" is not a number`,
		"x," + box + ",1," + box + ",1,1,7,40\n":   `s.csv:2:8: foundation "40" is outside 0..1`,
		"":                                         `s.csv: no set-up in it`,
	} {
		_, err := ReadSetUps("s.csv", strings.NewReader(header+row))
		require.ErrorContains(t, err, want)
	}
}

// Every assumption has a value within its bounds, a unit, a place and a reason,
// and each setting is named once.
func TestAssumptions(t *testing.T) {
	s, err := fromYAML("tuning:\n  short_sharp: 20\n")
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, a := range s.Assumptions() {
		require.False(t, seen[a.Name], a.Name)
		seen[a.Name] = true
		require.NotEmpty(t, a.Unit, a.Name)
		require.NotEmpty(t, a.Where, a.Name)
		require.NotEmpty(t, strings.TrimSpace(a.Why), a.Name)
	}
	_, r := s.tuning()
	require.Equal(t, 20.0, r.ShortSharpDays)
	require.Equal(t, 25.0, r.SlowSteadyDays)
	_, err = fromYAML("tuning:\n  short_shrp: 20\n")
	require.ErrorContains(t, err, `did you mean "tuning.short_sharp"?`)
}

func FuzzSetUps(f *testing.F) {
	f.Add(string(SetUpsCSV()))
	f.Fuzz(func(t *testing.T, content string) {
		all, err := ReadSetUps("s.csv", strings.NewReader(content))
		for _, s := range all {
			require.NoError(t, err)
			require.Positive(t, s.Hive.BroodBoxes)
			require.GreaterOrEqual(t, s.Practice.VisitDays, 0)
		}
	})
}
