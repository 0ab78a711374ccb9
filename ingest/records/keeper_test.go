package records_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"
)

var langstroth = records.LogOptions{Name: "log.csv", SuperFrames: 10, NestFrames: 10, BroodBoxes: 1}

func TestHiveLog(t *testing.T) {
	got, err := records.ReadHiveLog(strings.NewReader(`date,what,amount,note
# spring
2027-05-02,brood,7,
2027-05-12,super-on,4,the rest is foundation
2027-05-20,super-on,,
2027-06-01,swarm,,
2027-10-03,stores,9,
`), langstroth)
	require.NoError(t, err)
	require.Equal(t, []records.Entry{
		{Date: weather.YearMonthDay(2027, 5, 2), What: "brood", Amount: 7, Line: 3},
		{Date: weather.YearMonthDay(2027, 5, 12), What: "super-on", Amount: 4, Line: 4},
		{Date: weather.YearMonthDay(2027, 5, 20), What: "super-on", Amount: 10, Line: 5},
		{Date: weather.YearMonthDay(2027, 6, 1), What: "swarm", Line: 6},
		{Date: weather.YearMonthDay(2027, 10, 3), What: "stores", Amount: 9, Line: 7},
	}, got)
}

// What cannot be meant is refused with its line and the mend (the three cases
// that issue 5 names are the first three).
func TestBadHiveLogs(t *testing.T) {
	swarmOnly := langstroth
	swarmOnly.BroodBoxes = 0
	for _, c := range []struct {
		o          records.LogOptions
		rows, want string
	}{
		{langstroth, "2027-10-03,stores,-2,\n", `log.csv:2:3: amount "-2" is outside 0..80; weigh the honey in the brood boxes alone`},
		{langstroth, "2027-05-12,super-on,40,\n", `log.csv:2:3: amount "40" is outside 0..10; a super here has 10 frames`},
		{swarmOnly, "2027-05-12,super-on,4,\n2027-05-13,brood-box-on,,\n", `log.csv:2:2: what "super-on" comes before the brood box; put the brood box on first`},
		{langstroth, "2027-05-12,brood,12,\n", `log.csv:2:3: amount "12" is outside 0..10; the brood nest here has 10 frames`},
		{langstroth, "2027-05-12,brood-box-on,,\n2027-05-13,brood,21,\n", `log.csv:3:3: amount "21" is outside 0..20`},
		{langstroth, "2027-05-12,dance,,\n", `log.csv:2:2: what "dance" is no word of a hive log; use one of bees, brood, brood-box-on`},
		{langstroth, "2027-05-12,swarm,3,\n", `log.csv:2:3: amount "3" does not belong to swarm; leave it empty`},
		{langstroth, "2027-05-12,stores,,\n", `log.csv:2:3: amount "" is empty; give kg in the brood boxes`},
		{langstroth, "12 May,swarm,,\n", `log.csv:2:1: date "12 May" is not a date; write it as 2027-04-14`},
		{langstroth, "2027-05-12,swarm,,\n2027-05-11,swarm,,\n", `log.csv:3:1: date "2027-05-11" is before the line above; sort the lines by date`},
	} {
		_, err := records.ReadHiveLog(strings.NewReader("date,what,amount,note\n"+c.rows), c.o)
		require.ErrorContains(t, err, c.want)
	}
	_, err := records.ReadHiveLog(strings.NewReader(""), langstroth)
	require.ErrorContains(t, err, "log.csv: the file is empty; the first line names the columns: date,what,amount,note")
}

func TestScale(t *testing.T) {
	got, err := records.ReadScale(strings.NewReader("date;kg;handled\n2027-05-01;40.5;\n2027-05-02;41;\n2027-05-02;41.6;yes\n2027-05-04;60;no\n"), "scale.csv")
	require.NoError(t, err)
	require.Equal(t, []records.Weight{
		{Date: weather.YearMonthDay(2027, 5, 1), Kg: 40.5}, {Date: weather.YearMonthDay(2027, 5, 2), Kg: 41, Handled: true},
		{Date: weather.YearMonthDay(2027, 5, 4), Kg: 60},
	}, got)
	for rows, want := range map[string]string{
		"2027-05-01,40\n":                  "scale.csv: fewer than two weights",
		"2027-05-01,-4\n":                  `scale.csv:2:2: kg "-4" is outside 0..400`,
		"2027-05-01,heavy\n":               `scale.csv:2:2: kg "heavy" is not a number`,
		"2027-05-02,40\n2027-05-01,41\n":   `scale.csv:3:1: date "2027-05-01" is before the line above`,
		"2027-05-02,40,maybe\n":            `scale.csv:2:3: handled "maybe" is neither yes nor no`,
		"2027-05-02,\"40\n2027-05-03,41\n": "scale.csv:3: not a line of CSV",
	} {
		_, err := records.ReadScale(strings.NewReader("date,kg,handled\n"+rows), "scale.csv")
		require.ErrorContains(t, err, want)
	}
}

func FuzzHiveLog(f *testing.F) {
	f.Add("date,what,amount,note\n2027-05-02,brood,7,\n2027-05-12,super-on,4,x\n")
	f.Add("what;date\nswarm;2027-06-01\n")
	f.Fuzz(func(t *testing.T, s string) {
		entries, err := records.ReadHiveLog(strings.NewReader(s), langstroth)
		for i, e := range entries {
			require.NoError(t, err)
			require.Contains(t, records.LogWords(), e.What)
			require.GreaterOrEqual(t, e.Amount, 0.0)
			if i > 0 {
				require.GreaterOrEqual(t, e.Date, entries[i-1].Date)
			}
		}
	})
}

func FuzzScale(f *testing.F) {
	f.Add("date,kg\n2027-05-01,40\n2027-05-02,41\n")
	f.Add("date;kg;handled\n2027-05-01;40;yes\n")
	f.Fuzz(func(t *testing.T, s string) {
		weights, err := records.ReadScale(strings.NewReader(s), "scale.csv")
		for i, w := range weights {
			require.NoError(t, err)
			require.GreaterOrEqual(t, w.Kg, 0.0)
			if i > 0 {
				require.Greater(t, w.Date, weights[i-1].Date)
			}
		}
	})
}
