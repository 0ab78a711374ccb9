package records_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"
)

// brief writes an observation as a person would check it.
func brief(o records.Observation) string {
	s := o.Plant + " " + string(o.Stage) + " " + o.Day.String()
	if o.Till != o.Day {
		s += "/" + o.Till.String()
	}
	return s
}

// The rules are those of the README; the cases are written by hand.
func TestRead(t *testing.T) {
	for _, c := range []struct {
		name, text string
		lat        float64
		want       []string
		bad        []string // pieces of the errors, in order
	}{
		{"the keeper's form", "date,plant,stage,place,note\n2024-04-20,apple,first,Ashmere,south wall\n2024-04-26,apple,full,,\n", 47,
			[]string{"apple first 2024-04-20", "apple full 2024-04-26"}, nil},
		{"columns in any order, semicolons, BOM, comments", "\ufeffPlant;Stage;Date\n# invented\napple;Onset;2024-04-20\n\n", 47,
			[]string{"apple first 2024-04-20"}, nil},
		{"comments before the header", "# invented, all; of it\n#\ndate;plant;stage\n2024-04-20;apple;first\n", 47,
			[]string{"apple first 2024-04-20"}, nil},
		{"the shared form", "site_id,species,year,phase,date,doy,flag\nx,prunus-avium,2024,peak,2024-04-10,101,\n", 47,
			[]string{"prunus-avium full 2024-04-10"}, nil},
		{"year and day of the year alone", "site_id,species,year,phase,doy\nx,prunus-avium,2024,full,101\nx,prunus-avium,2023,full,366\n", 47,
			[]string{"prunus-avium full 2024-04-10"}, []string{`b.csv:3:5: doy "366" does not exist in 2023`}},
		{"last no and first yes", "date,plant,stage\n2024-04-01,apple,no\n2024-04-08,apple,no\n2024-04-15,apple,yes\n2024-04-22,apple,yes\n", 47,
			[]string{"apple first 2024-04-08/2024-04-15"}, nil},
		{"an interval on one line", "date,plant,stage\n2024-04-08/2024-04-15,apple,full\n", 47, []string{"apple full 2024-04-08/2024-04-15"}, nil},
		{"no and yes of full bloom", "date,plant,stage\n2024-04-08,apple,full no\n2024-04-15,apple,full yes\n", 47,
			[]string{"apple full 2024-04-08/2024-04-15"}, nil},
		{"yes alone", "date,plant,stage\n2024-04-15,apple,yes\n", 47, []string{"apple first 2024-04-15"}, []string{"b.csv:2:1: apple, first bloom 2024-04-15 has no day before it"}},
		{"no alone", "date,plant,stage\n2024-04-15,apple,no\n", 47, nil, []string{"never found"}},
		{"a date of no calendar", "date,plant,stage\n2024-02-30,apple,first\n13/04/2024,apple,first\n", 47, nil,
			[]string{`b.csv:2:1: date "2024-02-30" is not a date of the calendar; write it as 2026-04-13`, "b.csv:3:1:"}},
		{"an interval that runs backwards", "date,plant,stage\n2024-04-15/2024-04-08,apple,full\n", 47, nil, []string{"is not an interval"}},
		{"an unknown stage", "date,plant,stage\n2024-04-15,apple,balloon\n", 47, nil, []string{`b.csv:2:3: stage "balloon" is not a stage of bloom; write first, full or end`}},
		{"no plant", "date,plant,stage\n2024-04-15,,first\n", 47, nil, []string{`b.csv:2:2: plant "" is empty`}},
		{"twice the same", "date,plant,stage\n2024-04-15,apple,first\n2024-04-15,Apple,first\n", 47,
			[]string{"apple first 2024-04-15"}, []string{"b.csv:3:1: Apple, first bloom 2024-04-15 stands twice for 2024, first on line 2"}},
		{"twice and different", "date,plant,stage\n2024-04-15,apple,first\n2024-04-25,apple,first\n", 47,
			[]string{"apple first 2024-04-15"}, []string{"contradicts 2024-04-15 on line 2"}},
		{"two places are two records", "date,plant,stage,place\n2024-04-15,apple,first,a\n2024-04-25,apple,first,b\n", 47,
			[]string{"apple first 2024-04-15", "apple first 2024-04-25"}, nil},
		{"end before onset", "date,plant,stage\n2024-04-25,apple,first\n2024-04-15,apple,end\n", 47,
			[]string{"apple first 2024-04-25"}, []string{"b.csv:3:1: apple, end bloom 2024-04-15 comes before first bloom 2024-04-25 on line 2"}},
		{"a southern summer is one year", "date,plant,stage\n2023-12-20,linden,first\n2024-01-10,linden,end\n", -41,
			[]string{"linden first 2023-12-20", "linden end 2024-01-10"}, nil},
		{"day of the year against the date", "site_id,species,year,phase,date,doy\nx,apple,2024,full,2024-04-10,100\nx,apple,2023,full,2024-04-10,101\n", 47,
			nil, []string{`doy "100" is not the day of the year of 2024-04-10, which is 101`, `year "2023" is not the year`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := records.Read(strings.NewReader(c.text), records.Options{Name: "b.csv", LatDeg: c.lat})
			require.NoError(t, err)
			var seen []string
			for _, o := range got.Seen {
				seen = append(seen, brief(o))
			}
			require.Equal(t, c.want, seen)
			require.Len(t, got.Bad, len(c.bad), "%v", got.Bad)
			for i, want := range c.bad {
				require.ErrorContains(t, got.Bad[i], want)
				var e *weather.SyntaxError
				require.ErrorAs(t, got.Bad[i], &e)
				require.NotEmpty(t, e.Mend)
				require.Positive(t, e.Line)
			}
		})
	}
}

func TestReadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                           "b.csv:1: the file is empty",
		"date,what\n":                `b.csv:1: no column "plant" in the header "date,what"`,
		"plant,stage\napple,first\n": `no column "date"`,
	} {
		_, err := records.Read(strings.NewReader(text), records.Options{Name: "b.csv"})
		require.ErrorContains(t, err, want)
	}
	_, err := records.Read(iotest.ErrReader(errors.New("disk gone")), records.Options{Name: "b.csv"})
	require.ErrorContains(t, err, "disk gone")
}

func TestOffSeason(t *testing.T) {
	at := func(s string) records.Observation {
		d, err := weather.ParseDate(s)
		require.NoError(t, err)
		return records.Observation{Plant: "apple", Stage: records.First, Day: d, Till: d, Line: 7}
	}
	all := []records.Observation{at("2021-04-20"), at("2022-04-25"), at("2023-10-20"), at("2024-04-18")}
	in, bad := records.OffSeason("b.csv", all, 0)
	require.Len(t, in, 3)
	require.Len(t, bad, 1)
	require.ErrorContains(t, bad[0], "b.csv:7: apple, first bloom 2023-10-20 is 182 days from its season about day 110 of the year; is it from the other hemisphere")
	in, bad = records.OffSeason("b.csv", all, 300)
	require.Len(t, in, 1)
	require.Len(t, bad, 3)
	turn := []records.Observation{at("2021-12-28"), at("2023-01-03"), at("2023-12-30")}
	_, bad = records.OffSeason("b.csv", turn, 0)
	require.Empty(t, bad, "New Year is no gap")
}

// Every line of the open records beside the repository is read: MeteoSwiss,
// National Park Service and Harvard Forest; encoding/csv counts them.
func TestReadOpenRecords(t *testing.T) {
	path := filepath.Join("..", "..", "..", "shared", "data", "bloom", "bloom.csv")
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skipf("not checked: no file %s on this machine", path)
	}
	require.NoError(t, err)
	defer f.Close()
	got, err := records.Read(f, records.Options{Name: "bloom.csv", LatDeg: 45})
	require.NoError(t, err)
	require.Empty(t, got.Bad)
	_, err = f.Seek(0, 0)
	require.NoError(t, err)
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, got.Seen, len(rows)-1)
	for i, o := range got.Seen {
		require.Equal(t, rows[i+1][4], o.Till.String())
		require.Equal(t, rows[i+1][0], o.Place)
	}
}

// Whatever stands in the file, reading does not panic, dates are in order and
// every fault names its line.
func FuzzRead(f *testing.F) {
	f.Add("date,plant,stage\n2024-04-15,apple,first\n2024-04-08/2024-04-15,apple,full\n", 47.0)
	f.Add("site_id,species,year,phase,date,doy\nx,apple,2024,full,2024-04-10,101\n", -41.0)
	f.Add("date;plant;stage\n2024-04-15;\"apple;no\n", 0.0)
	f.Fuzz(func(t *testing.T, text string, lat float64) {
		got, err := records.Read(strings.NewReader(text), records.Options{Name: "b.csv", LatDeg: lat})
		if err != nil {
			require.ErrorContains(t, err, "b.csv")
			return
		}
		for _, o := range got.Seen {
			require.LessOrEqual(t, o.Day, o.Till)
			require.NotEmpty(t, o.Plant)
		}
		for _, e := range got.Bad {
			require.ErrorContains(t, e, "b.csv:")
		}
	})
}
