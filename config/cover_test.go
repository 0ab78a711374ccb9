package config

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func coverOf(t *testing.T, content string) ([]Cover, error) {
	t.Helper()
	plants, err := Plants()
	require.NoError(t, err)
	return ReadCover("c.csv", strings.NewReader(content), plants)
}

func TestReadCover(t *testing.T) {
	got, err := coverOf(t, "\ufeff# a list\nplant,hectares,note\nWhite Clover,12.5,along the lane\n# more\nTilia americana,,\n\"goldenrod\", ,\"old field, north\"\n")
	require.NoError(t, err)
	require.Equal(t, []Cover{{"white clover", 12.5, "along the lane"}, {"basswood", 0, ""}, {"goldenrod", 0, "old field, north"}}, got)
}

// Each refusal names file, line, column, value and the mend.
func TestReadCoverRefuses(t *testing.T) {
	for _, c := range []struct{ content, where, mend string }{
		{"", "c.csv: empty", "plant,hectares"},
		{"plant,hectares\n", "c.csv: holds no plant", "init --region list"},
		{"plant;hectares\n", "semicolons", "save it with commas"},
		{"plant,acres\n", `c.csv:1:2: unknown column "acres"`, "hectares"},
		{"plant\nbasswood\n", `no column "hectares"`, "add it"},
		{"plant,hectares\n\nwhite clovr,2\n", `c.csv:3:1: plant "white clovr" is not in the forage table`, `did you mean "white clover"`},
		{"plant,hectares\nxyzzy,2\n", `c.csv:2:1: plant "xyzzy"`, "bloomtide forage"},
		{"plant,hectares\n,2\n", `c.csv:2:1: plant "" `, "bloomtide forage"},
		{"plant,hectares\nbasswood,-2\n", `c.csv:2:2: hectares "-2" is outside 0..100000`, "check the figure"},
		{"plant,hectares\nbasswood,100001\n", `c.csv:2:2: hectares "100001" is outside`, "check the figure"},
		{"plant,hectares\nbasswood,0\n", `c.csv:2:2: hectares "0" is nothing`, "leave the field empty"},
		{"plant,hectares\nbasswood,NaN\n", `hectares "NaN" is not a number`, "write a number"},
		{"plant,hectares\nbasswood,\"1,5\"\n", `hectares "1,5" is not a number`, "after a point"},
		{"plant,hectares,note\nbasswood,1,5\n", `c.csv:2:3: note "5" is a number`, "after a point"},
		{"plant,hectares\nbasswood,1\nTilia americana,2\n", `c.csv:3:1: plant "Tilia americana" stands twice`, "add the hectares up"},
		{"plant,hectares\nbasswood\n", "c.csv:2: wrong number of fields", "2 fields"},
	} {
		_, err := coverOf(t, c.content)
		require.ErrorContains(t, err, c.where, c.content)
		require.ErrorContains(t, err, c.mend, c.content)
	}
	_, err := coverOf(t, "plant,hectares\nbasswod,1\nwhite clover,-1\n")
	require.ErrorContains(t, err, "c.csv:2:1")
	require.ErrorContains(t, err, "c.csv:3:2", "every bad line is named")
}

// What the keeper's list says is what the forecast works on.
func TestApiaryOfCover(t *testing.T) {
	plants, err := Plants()
	require.NoError(t, err)
	for _, c := range []struct {
		content      string
		relative     bool
		stands, open []string
	}{
		{"basswood,\nwhite clover,\n", true, []string{"basswood", "white clover"}, []string{"basswood", "white clover"}},
		{"basswood,2\nwhite clover,\n", false, []string{"basswood"}, []string{"white clover"}},
		{"basswood,2\nwhite clover,3\n", false, []string{"basswood", "white clover"}, nil},
		{"speckled alder,\n", true, nil, []string{"speckled alder"}}, // pollen only by the table
	} {
		rows, err := coverOf(t, "plant,hectares\n"+c.content)
		require.NoError(t, err)
		s, err := Load(Options{})
		require.NoError(t, err)
		a, err := s.WithCover(rows).Apiary(plants)
		require.NoError(t, err)
		require.Equal(t, c.relative, a.Relative, c.content)
		require.ElementsMatch(t, c.open, a.Unmeasured, c.content)
		var stands []string
		for _, st := range a.Stands {
			stands = append(stands, st.Plant)
		}
		require.Equal(t, c.stands, stands, c.content)
	}
}

func TestCoverAndStandsTogetherAreRefused(t *testing.T) {
	_, err := Load(Options{File: "b.yaml", Content: []byte("place: Willow Bend\ncover: c.csv\nstands:\n  - plant: basswood\n    hectares: 2\n")})
	require.ErrorContains(t, err, `b.yaml:2: cover: "c.csv" is named and stands are listed too; keep one`)
}

// Every region has at least three plants, each in the forage table, each with
// a source that names author or publisher; its list reads back as it is.
func TestRegions(t *testing.T) {
	all, err := Regions()
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(all), 5)
	plants, err := Plants()
	require.NoError(t, err)
	before := ""
	for _, r := range all {
		require.Less(t, before, r.Name, "in order, each once")
		before = r.Name
		require.Equal(t, fold(r.Name), r.Name)
		require.GreaterOrEqual(t, len(r.Plants), 3, r.Name)
		for _, p := range r.Plants {
			require.Regexp(t, `^(Baude|Lovell 1926|Melin 2013|list of nectar sources of a New Jersey)`, p.Source, "%s, %s", r.Name, p.Plant)
			found, ok := findPlant(p.Plant, plants)
			require.True(t, ok, "%s: %s", r.Name, p.Plant)
			require.Positive(t, found.PeakKgPerHaDay, "%s: %s gives nectar", r.Name, p.Plant)
		}
		rows, err := coverOf(t, string(r.CoverCSV()))
		require.NoError(t, err)
		require.Len(t, rows, len(r.Plants))
		for i, row := range rows {
			require.Equal(t, Cover{r.Plants[i].Plant, 0, r.Plants[i].Source}, row)
		}
		again, err := RegionByName(strings.ToUpper(strings.ReplaceAll(r.Name, " ", "-")))
		require.NoError(t, err)
		require.Equal(t, r, again)
	}
	_, err = RegionByName("new englnd")
	require.ErrorContains(t, err, `did you mean "new england"?`)
	_, err = RegionByName("atlantis")
	require.ErrorContains(t, err, "great britain, new england")
}

// The configuration with a list sets the list and nothing else.
func TestExampleWithCover(t *testing.T) {
	s, err := Load(Options{Content: ExampleWithCover("cover.csv")})
	require.NoError(t, err)
	require.Equal(t, "cover.csv", s.Cover)
	want, err := Load(Options{})
	require.NoError(t, err)
	s.Cover = ""
	require.Equal(t, fmt.Sprintf("%#v", want), fmt.Sprintf("%#v", s))
}

// FuzzReadCover: no list makes it panic, and what it lets through can be meant.
func FuzzReadCover(f *testing.F) {
	plants, err := Plants()
	require.NoError(f, err)
	f.Add("plant,hectares,note\nwhite clover,12.5,lane\nbasswood,,\n")
	f.Add("# x\nhectares,plant\n1e5,Tilia americana\n")
	f.Add("plant,hectares\n\"a,\n")
	f.Add("\ufeffplant;hectares\n")
	f.Fuzz(func(t *testing.T, content string) {
		rows, err := ReadCover("f.csv", strings.NewReader(content), plants)
		if err != nil {
			require.Empty(t, rows)
			return
		}
		require.NotEmpty(t, rows)
		seen := map[string]bool{}
		for _, r := range rows {
			require.False(t, seen[r.Plant])
			seen[r.Plant] = true
			_, known := findPlant(r.Plant, plants)
			require.True(t, known)
			require.True(t, r.Hectares >= 0 && r.Hectares <= mostCoverHa)
		}
	})
}
