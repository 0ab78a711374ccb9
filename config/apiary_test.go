package config

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast/hive"
)

func loaded(t *testing.T, content string) (Settings, []Plant) {
	t.Helper()
	s, err := fromYAML(content)
	require.NoError(t, err)
	plants, err := Plants()
	require.NoError(t, err)
	return s, plants
}

func TestStandsMatchByNameOrTaxon(t *testing.T) {
	s, plants := loaded(t, "place: Willow Bend\nstands:\n  - plant: White Clover\n    hectares: 12\n  - plant: robinia pseudoacacia\n    hectares: 3\n")
	a, err := s.Apiary(plants)
	require.NoError(t, err)
	require.Equal(t, "willow-bend", a.ID)
	require.Equal(t, "Willow Bend", a.Name)
	require.False(t, a.Relative)
	require.Len(t, a.Plants, len(plants))
	require.Len(t, a.Stands, 2)
	require.Equal(t, "white clover", a.Stands[0].Plant)
	require.Equal(t, "black locust", a.Stands[1].Plant)
	require.InDelta(t, 12, a.Stands[0].Hectares, 1e-12)
	// Baude, Kunin and Memmott 2015: 48.97 µg × 27124.81 flowers/m² × 1e-5.
	require.InDelta(t, 48.97*27124.81e-5, a.Stands[0].PeakKgPerHaDay, 0.001)
}

func TestNearMissesAreSuggested(t *testing.T) {
	for plant, want := range map[string]string{
		"black locst":  `b.yaml: stands: no plant of the forage table is called "black locst"; did you mean "black locust"?`,
		"linden":       `did you mean "large-leaved linden" or "small-leaved linden"?`,
		"Sweet clover": `did you mean "yellow sweet clover" or "white sweet clover"?`,
		"bamboo":       "`bloomtide forage` prints the plants; add a row of your own",
	} {
		s, plants := loaded(t, "stands:\n  - plant: "+plant+"\n    hectares: 1\n")
		_, err := s.Apiary(plants)
		require.ErrorContains(t, err, want)
	}
}

func TestWithoutStandsTheStartersStandIn(t *testing.T) {
	s, plants := loaded(t, "")
	a, err := s.Apiary(plants)
	require.NoError(t, err)
	require.True(t, a.Relative)
	require.GreaterOrEqual(t, len(a.Stands), 10)
	for _, st := range a.Stands {
		require.InDelta(t, 1, st.Hectares, 1e-12)
		require.Positive(t, st.PeakKgPerHaDay)
	}
	for i := range plants {
		plants[i].Starter = false
	}
	all, err := s.Apiary(plants)
	require.NoError(t, err)
	require.Greater(t, len(all.Stands), len(a.Stands))
}

func TestPlacesKeepApart(t *testing.T) {
	for place, want := range map[string]string{
		"":                       "apiary",
		"  Willow Bend, North 2": "willow-bend-north-2",
		"---":                    "apiary",
	} {
		require.Equal(t, want, slug(place))
	}
	require.NotEqual(t, slug("Übersee"), slug("Ubersee"))
	require.NotEqual(t, slug("蜂場"), slug("山地"))
	require.Equal(t, slug("蜂場"), slug(" 蜂場"))
	require.Regexp(t, `^[a-z0-9-]+$`, slug("蜂場"))
}

// TestDefaultHiveIsThatOfPackageHive holds two places together: the defaults
// that hive.Setup states and those that the configuration shows.
func TestDefaultHiveIsThatOfPackageHive(t *testing.T) {
	s, plants := loaded(t, "")
	a, err := s.Apiary(plants)
	require.NoError(t, err)
	want := hive.Setup{}.WithDefaults()
	a.Setup.BroodBox.Source, a.Setup.Super.Source = want.BroodBox.Source, want.Super.Source
	require.Equal(t, want, a.Setup)
}

func TestZeroHiveSettingsTakeTheDefaults(t *testing.T) {
	a, err := Settings{}.Apiary(nil)
	require.NoError(t, err)
	require.Equal(t, hive.Setup{}.WithDefaults(), a.Setup.WithDefaults())
}

// TestBoxesAgreeWithPublishedCounts compares usable worker cells with the
// published counts of whole boxes: ten Langstroth deep frames 61 000, eleven
// British National frames 50 000 to 55 000, eleven Dadant-Blatt frames 85 000
// (keepers' hive dimension sheets, read).
func TestBoxesAgreeWithPublishedCounts(t *testing.T) {
	for name, c := range map[string]struct{ frames, cells, tolerance float64 }{
		"Langstroth deep, 10 frames":        {10, 61000, 1000},
		"British National brood, 11 frames": {11, 50000, 1000},
		"Dadant-Blatt brood, 12 frames":     {11, 85000, 1000},
	} {
		b, err := BoxByName(name)
		require.NoError(t, err)
		require.InDelta(t, c.cells, b.WorkerCells()*c.frames/float64(b.Frames), c.tolerance, name)
	}
}

func TestBoxesWeighMoreThanTheirHoney(t *testing.T) {
	boxes, err := Boxes()
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(boxes), 10)
	tuning, _ := (Settings{}).tuning()
	seen := map[string]bool{}
	for _, b := range boxes {
		require.False(t, seen[fold(b.Name)], b.Name)
		seen[fold(b.Name)] = true
		require.NotEmpty(t, b.Source, b.Name)
		// Wood and wax of a box weigh 4 to 8 kg, 11 of a deep one (common practice).
		require.Greater(t, b.FullKg, b.HoneyKg(tuning)+3, b.Name)
		require.Less(t, b.FullKg, b.HoneyKg(tuning)+11.5, b.Name)
	}
}

func TestBadBoxes(t *testing.T) {
	const header = "name,frames,comb_dm2,full_kg,source\n"
	for row, want := range map[string]string{
		"x,10,8.8,37,\n":   `boxes.csv:2:5: source "" is empty`,
		",10,8.8,37,me\n":  `boxes.csv:2:1: name "" is empty`,
		"x,ten,8.8,37,m\n": `boxes.csv:2:2: frames "ten" is not a number`,
		"x,10,880,37,me\n": `boxes.csv:2:3: comb_dm2 "880" is outside 1..20; check the figure and its unit`,
		"x,10,8.8,,me\n":   `boxes.csv:2:4: full_kg "" is not a number; fill in the field`,
	} {
		_, err := readBoxes("boxes.csv", strings.NewReader(header+row))
		require.ErrorContains(t, err, want)
	}
}
