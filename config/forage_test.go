package config

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

const smallHeader = "plant,onset,full,end,unit,base,upper,method,biofix,relative_sd,status,source,bloom_days,nectar_kg_ha_day,nectar_status,nectar_source,starter\n"

// smallRow is black locust as the Ohio phenology calendar has it.
const smallRow = "black locust,467,548,,Fdd,50,,modified average,Jan 1,,published,\"Ohio calendar, by Herms\",12,,,,\n"

func readSmall(rows string) ([]Plant, error) {
	return ReadForage("mine.csv", strings.NewReader(smallHeader+rows))
}

// TestFahrenheitTable holds PHENOLOGY.md 1.7, trap 1: a sum converts with 5/9
// only and a threshold with the offset as well. 548 °F·d above 50 °F are
// 304.444 °C·d above 10 °C; converting the sum like a temperature would give
// 286.667.
func TestFahrenheitTable(t *testing.T) {
	plants, err := readSmall(smallRow)
	require.NoError(t, err)
	m := plants[0].Model
	require.InDelta(t, 304.444, float64(m.Peak), 0.0005)
	require.InDelta(t, 467*5.0/9, float64(m.Onset), 1e-9)
	require.InDelta(t, 10, float64(m.Clock.Thresholds.Lower), 1e-12)
	require.Equal(t, phenology.ModifiedAverage, m.Clock.Method.Curve)
}

// TestFahrenheitAndCelsiusTablesAgree counts the same day by both tables:
// 36 to 61 °F by single sine above 50 °F is 3.257556 °F·d or 1.809753 °C·d
// (PHENOLOGY.md 1.7).
func TestFahrenheitAndCelsiusTablesAgree(t *testing.T) {
	plants, err := readSmall(
		"in F,90,,,Fdd,50,86,single sine,Jan 1,,published,made up,10,,,,\n" +
			"in C,50,,,Cdd,10,30,single sine,Jan 1,,published,made up,10,,,,\n")
	require.NoError(t, err)
	day := phenology.Extremes{Min: weather.FromFahrenheit(36), Max: weather.FromFahrenheit(61), NextMin: weather.FromFahrenheit(36)}
	for _, p := range plants {
		c := p.Model.Clock
		require.InDelta(t, 1.809753, float64(c.Method.Heat(day, c.Thresholds)), 5e-7, p.Model.Plant)
		require.InDelta(t, 50, float64(p.Model.Onset), 1e-9, p.Model.Plant)
		require.InDelta(t, 30, float64(c.Thresholds.Upper), 1e-9, p.Model.Plant)
	}
}

func TestNoUpperThresholdMeansNone(t *testing.T) {
	plants, err := readSmall("hot,100,,,Cdd,10,,single sine,Jan 1,,published,made up,10,,,,\n")
	require.NoError(t, err)
	c := plants[0].Model.Clock
	hot := phenology.Extremes{Min: 40, Max: 40, NextMin: 40}
	require.InDelta(t, 30, float64(c.Method.Heat(hot, c.Thresholds)), 1e-12)
}

func TestEmptySpreadFollowsTheStatus(t *testing.T) {
	for status, want := range map[string]float64{"published": 0.15, "from memory": 0.20, "unverified prior": 0.30} {
		plants, err := readSmall("x,100,,,Cdd,10,,average,Jan 1,," + status + ",made up,10,,,,\n")
		require.NoError(t, err)
		require.InDelta(t, want, plants[0].Model.RelativeSD, 1e-12, status)
	}
}

func TestBadTables(t *testing.T) {
	for name, c := range map[string]struct{ rows, want string }{
		"no source":         {"a,100,,,Cdd,10,,average,Jan 1,,published,,10,,,,\n", `mine.csv:2:12: source "" is empty; say where`},
		"no status":         {"a,100,,,Cdd,10,,average,Jan 1,,,me,10,,,,\n", `mine.csv:2:11: status "" is empty; write one of published, own fit, from memory, unverified prior`},
		"bad status":        {"a,100,,,Cdd,10,,average,Jan 1,,sure,me,10,,,,\n", `mine.csv:2:11: status "sure" is not a status; write one of`},
		"bad unit":          {"a,100,,,GDD,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:5: unit "GDD" is not a unit of degree days; write Cdd`},
		"negative sum":      {"a,-5,,,Cdd,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:2: onset "-5" is not above 0; degree days grow`},
		"no onset":          {"a,,,,Cdd,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:2: onset "" is not a number; fill in`},
		"onset after full":  {"a,100,90,,Cdd,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:3: full "90" is not above onset 100; degree days grow`},
		"full after end":    {"a,100,200,150,Cdd,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:4: end "150" is not above full 200; degree days grow`},
		"decimal comma":     {"a,\"100,5\",,,Cdd,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:2: onset "100,5" is not a number; write the decimals after a point`},
		"infinite":          {"a,Inf,,,Cdd,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:2: onset "Inf" is not a number`},
		"base in F":         {"a,100,,,Cdd,80,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:6: base "80" is hotter than any air in °C; write Fdd`},
		"upper below base":  {"a,100,,,Cdd,10,5,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:7: upper "5" is not above base 10; leave it empty`},
		"bad method":        {"a,100,,,Cdd,10,,simple,Jan 1,,published,me,10,,,,\n", `mine.csv:2:8: method "simple" is not a degree-day method; unknown degree-day method "simple"; use one of single sine`},
		"bad biofix":        {"a,100,,,Cdd,10,,average,Feb 30,,published,me,10,,,,\n", `mine.csv:2:9: biofix "Feb 30" is not a month and a day; write it as "Jan 1"`},
		"spread in percent": {"a,100,,,Cdd,10,,average,Jan 1,15,published,me,10,,,,\n", `mine.csv:2:10: relative_sd "15" is not a share below 1; write 0.15 for 15 %`},
		"no length":         {"a,100,,,Cdd,10,,average,Jan 1,,published,me,,,,,\n", `mine.csv:2:13: bloom_days "" is not a number; fill in`},
		"rate unsourced":    {"a,100,,,Cdd,10,,average,Jan 1,,published,me,10,5,published,,\n", `mine.csv:2:16: nectar_source "" is empty; say where`},
		"rate no status":    {"a,100,,,Cdd,10,,average,Jan 1,,published,me,10,5,,me,\n", `mine.csv:2:15: nectar_status "" is empty`},
		"rate negative":     {"a,100,,,Cdd,10,,average,Jan 1,,published,me,10,-5,published,me,\n", `mine.csv:2:14: nectar_kg_ha_day "-5" is outside 0..500`},
		"bad starter":       {"a,100,,,Cdd,10,,average,Jan 1,,published,me,10,,,,perhaps\n", `mine.csv:2:17: starter "perhaps" is neither yes nor empty`},
		"no name":           {",100,,,Cdd,10,,average,Jan 1,,published,me,10,,,,\n", `mine.csv:2:1: plant "" is empty; name the plant`},
		"twice":             {smallRow + strings.ToUpper(smallRow[:12]) + smallRow[12:], `mine.csv:3:1: plant "BLACK LOCUST" stands twice; give the second`},
		"too few fields":    {"a,100\n", `mine.csv:2: wrong number of fields; the header has 17 fields`},
		"open quote":        {"\"a,100\n", `mine.csv:2: extraneous or missing " in quoted-field; put text`},
		"nothing":           {"", `mine.csv: holds no plant; add a line for each`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := readSmall(c.rows)
			require.ErrorContains(t, err, c.want)
			bad := new(weather.SyntaxError)
			require.ErrorAs(t, err, &bad)
			require.NotEmpty(t, bad.Mend)
		})
	}
}

func TestBadHeaders(t *testing.T) {
	for name, c := range map[string]struct{ content, want string }{
		"empty":      {"", "mine.csv: empty; the first line names the columns: plant,onset"},
		"semicolons": {strings.ReplaceAll(smallHeader, ",", ";"), "mine.csv: the columns are separated by semicolons; save it with commas"},
		"misspelt":   {strings.Replace(smallHeader, "method", "metod", 1), `mine.csv:1:8: unknown column "metod"; did you mean "method"?`},
		"twice":      {strings.Replace(smallHeader, "full", "onset", 1), `mine.csv:1:3: column "onset" stands twice; delete one`},
		"missing":    {strings.Replace(smallHeader, "source,bloom", "bloom", 1), `mine.csv:1: no column "source"; add it`},
		"a PDF":      {"%PDF-1.4\n%âãÏÓ\n", `mine.csv:1:1: unknown column "%pdf-1.4"; use plant`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ReadForage("mine.csv", strings.NewReader(c.content))
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestAllBadLinesAreTold(t *testing.T) {
	_, err := readSmall("a,0,,,Cdd,10,,average,Jan 1,,published,me,10,,,,\n" + smallRow + "b,1,,,Kdd,10,,average,Jan 1,,published,me,10,,,,\n")
	require.ErrorContains(t, err, "mine.csv:2:2")
	require.ErrorContains(t, err, "mine.csv:4:5")
}

func TestTableFromASpreadsheet(t *testing.T) {
	content := "\ufeff# my own table\r\n" + strings.ReplaceAll(smallHeader+smallRow, "\n", "\r\n")
	plants, err := ReadForage("mine.csv", strings.NewReader(content))
	require.NoError(t, err)
	require.Equal(t, []string{"black locust"}, PlantNames(plants))
}

func TestPrintedTableReadsBack(t *testing.T) {
	table := ForageCSV()
	plants, err := ReadForage("forage.csv", strings.NewReader(string(table)))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(plants), 40)
	nectar, starters := 0, 0
	for _, p := range plants {
		require.NotEmpty(t, p.BloomDaysSource, p.Model.Plant)
		require.NotEmpty(t, p.NectarSource, p.Model.Plant)
		if p.PeakKgPerHaDay > 0 {
			nectar++
		}
		if p.Starter {
			require.Positive(t, p.PeakKgPerHaDay, p.Model.Plant)
			starters++
		}
	}
	require.GreaterOrEqual(t, nectar, 40)
	require.GreaterOrEqual(t, starters, 10)
	table[0] = '!' // a copy: the embedded table must not change
	require.NotEqual(t, table[0], ForageCSV()[0])
}

// sharedRows reads a CSV of the shared folder, or skips the test where this
// checkout has none beside it.
func sharedRows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("../../shared/science/" + name)
	if err != nil {
		t.Skipf("no shared folder beside this checkout: %v", err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func tableModel(t *testing.T, name string) Plant {
	t.Helper()
	plants, err := Plants()
	require.NoError(t, err)
	p, ok := findPlant(name, plants)
	require.True(t, ok, name)
	return p
}

// TestDegreeDaysAreThoseOfTheSources compares the table with the list of
// published and remembered degree days, cell by cell.
func TestDegreeDaysAreThoseOfTheSources(t *testing.T) {
	rows := sharedRows(t, "bloom-degree-days.csv")
	stage := func(p Plant, full bool) float64 {
		if full {
			return float64(p.Model.Peak)
		}
		return float64(p.Model.Onset)
	}
	for _, c := range []struct {
		plant, taxon, event, unit, base string
		full                            bool
	}{
		{"silver maple", "Acer saccharinum", "first bloom", "Fdd", "50F", false},
		{"silver maple", "Acer saccharinum", "full bloom", "Fdd", "50F", true},
		{"red maple", "Acer rubrum", "first bloom", "Fdd", "50F", false},
		{"red maple", "Acer rubrum", "full bloom", "Fdd", "50F", true},
		{"redbud", "Cercis canadensis", "full bloom", "Fdd", "50F", true},
		{"black cherry", "Prunus serotina", "first bloom", "Fdd", "50F", false},
		{"sweet cherry", "Prunus avium", "full bloom", "Cdd", "2C", true},
		{"alfalfa", "Medicago sativa", "first flower", "Fdd", "41F", false},
		{"olive", "Olea europaea", "flowering", "Cdd", "5C", false},
	} {
		t.Run(c.plant+" "+c.event, func(t *testing.T) {
			found := false
			for _, r := range rows {
				if r[0] != c.taxon || r[2] != c.event || r[7] != c.unit || r[8] != c.base {
					continue
				}
				want, err := strconv.ParseFloat(r[3], 64)
				require.NoError(t, err)
				if c.unit == "Fdd" {
					want *= 5.0 / 9
				}
				require.InDelta(t, want, stage(tableModel(t, c.plant), c.full), 1e-9)
				found = true
			}
			require.True(t, found, "no such row in the list")
		})
	}
}

func TestFittedDegreeDaysAreThoseOfTheFit(t *testing.T) {
	for _, r := range sharedRows(t, "fitted-open-records.csv") {
		p := tableModel(t, r[0])
		dd, err := strconv.ParseFloat(r[5], 64)
		require.NoError(t, err)
		base, err := strconv.ParseFloat(r[3], 64)
		require.NoError(t, err)
		doy, err := strconv.Atoi(r[4])
		require.NoError(t, err)
		require.InDelta(t, dd, float64(p.Model.Onset), 1e-9, r[0])
		require.InDelta(t, base, float64(p.Model.Clock.Thresholds.Lower), 1e-9, r[0])
		require.Equal(t, doy, p.Model.Biofix.In(50, 2025).DayOfYear(), r[0])
		require.Contains(t, p.Model.Source, "RMSE "+r[10]+" d", r[0])
	}
}

// TestMeasuredNectarIsThatOfTheDataSet compares the rates marked as published
// with Baude, Kunin and Memmott 2015.
func TestMeasuredNectarIsThatOfTheDataSet(t *testing.T) {
	measured := map[string]float64{}
	for _, r := range sharedRows(t, "nectar-agriland.csv") {
		x, err := strconv.ParseFloat(r[4], 64)
		require.NoError(t, err)
		measured[strings.TrimSuffix(r[0], " agg.")] = x
	}
	plants, err := Plants()
	require.NoError(t, err)
	checked := 0
	for _, p := range plants {
		if p.NectarStatus != phenology.Published || !strings.HasPrefix(p.NectarSource, "Baude") {
			continue
		}
		words := strings.Fields(p.Model.Taxon)
		names := map[string]string{"Taraxacum": "Taraxacum", "Castanea": "Castanea sativa"}
		name := names[words[0]]
		if name == "" {
			name = words[0] + " " + words[1]
		}
		want, ok := measured[name]
		require.True(t, ok, "%s is not in the data set", name)
		require.InDelta(t, want, p.PeakKgPerHaDay, 1e-9, name)
		require.Contains(t, p.NectarSource, "contains data supplied by Natural Environment Research Council", name)
		checked++
	}
	require.GreaterOrEqual(t, checked, 15)
}

// FuzzReadForage: no input makes the reader panic, and what it lets through
// can be believed by package phenology.
func FuzzReadForage(f *testing.F) {
	f.Add(string(ForageCSV()))
	f.Add(smallHeader + smallRow)
	f.Add(smallHeader + "\"a,\n")
	f.Add("plant;onset\n")
	f.Add(daysHeader + "a,,38,,days,,,,,b,,published,me,12\nb,,205,,Cdd,0,average,light 11 h,photothermal 2,,,published,me,12\n")
	f.Add("\ufeff#\n\n")
	f.Fuzz(func(t *testing.T, content string) {
		plants, err := ReadForage("f.csv", strings.NewReader(content))
		if err != nil {
			require.Empty(t, plants)
			return
		}
		seen := map[string]bool{}
		for _, p := range plants {
			m := p.Model
			require.False(t, seen[fold(m.Plant)])
			seen[fold(m.Plant)] = true
			require.NotEmpty(t, m.Source)
			require.NotEmpty(t, m.Status)
			require.True(t, m.Onset > 0 || p.after == "" && m.Onset == 0)
			require.True(t, m.AfterDays >= 0 && m.AfterDays <= maxBloomDays)
			require.True(t, m.Peak == 0 || m.Peak > m.Onset)
			require.True(t, m.End == 0 || m.End > max(m.Peak, m.Onset))
			require.True(t, m.RelativeSD >= 0 && m.RelativeSD < 1)
			require.True(t, m.BloomDays >= 1 && p.PeakKgPerHaDay >= 0)
			require.False(t, math.IsNaN(float64(m.Clock.Thresholds.Lower)))
		}
	})
}

const daysHeader = "plant,taxon,onset,full,unit,base,method,biofix,light,after,relative_sd,status,source,bloom_days\n"

// Days after another plant are Lipiński's (PHENOLOGY.md 3.4): black locust 38
// days after Norway maple. The aster's date is the median of open records (3.5).
func TestRowsInDaysAndLight(t *testing.T) {
	plants, err := ReadForage("mine.csv", strings.NewReader(daysHeader+
		"black locust,,38,,days,,,,,Acer platanoides,0.1,published,Lipiński,12\n"+
		"Norway maple,Acer platanoides,205,,Cdd,0,average,Mar 16,,,0.1,published,made up,12\n"+
		"aster,,0,,days,,,Sep 22,,,0.04,published,open records,14\n"+
		"goldenrod,,300,,Cdd,5,average,Jun 21,short days 13 to 15 h,,0.1,published,made up,30\n"+
		"gated,,100,,Cdd,5,average,light 11.5 h,photothermal 2,,0.1,published,made up,10\n"))
	require.NoError(t, err)
	locust, maple, aster := plants[0].Model, plants[1].Model, plants[2].Model
	require.Equal(t, maple.Clock, locust.Clock)
	require.Equal(t, maple.Biofix, locust.Biofix)
	require.Equal(t, maple.Onset, locust.Onset)
	require.InDelta(t, 38, locust.AfterDays, 0)
	for _, lat := range []float64{41, -41} {
		s := smoothYear(lat, 10, 13)
		bloom := func(m phenology.Model) weather.Date {
			b, ok := m.Predict(m.Clock.Sums(s), 2025)
			require.True(t, ok, m.Plant)
			return b.Onset
		}
		require.Equal(t, bloom(maple)+38, bloom(locust))
		require.Equal(t, phenology.YearStart(lat, 2025)+264, bloom(aster), "22 September is the 265th day")
		require.Greater(t, bloom(plants[3].Model), phenology.YearStart(lat, 2025)+200, "short days come late")
		require.Greater(t, bloom(plants[4].Model), plants[4].Model.Biofix.In(lat, 2025))
	}
	require.Equal(t, phenology.Light{Free: 13, Longest: 15}, plants[3].Model.Clock.Light)
	require.InDelta(t, 11.5, plants[4].Model.Biofix.LightH, 0)
}

func TestBadRowsInDays(t *testing.T) {
	for name, c := range map[string]struct{ row, want string }{
		"unknown plant":    {"a,,38,,days,,,,,Norway maple,,published,me,12\n", `mine.csv:2:10: after "Norway maple" is no plant of this table with degree days of its own; name one`},
		"after itself":     {"a,,38,,days,,,,,a,,published,me,12\n", `mine.csv:2:10: after "a" is no plant`},
		"two beginnings":   {"a,,38,,days,,,Jan 1,,b,,published,me,12\n", `mine.csv:2:8: biofix "Jan 1" stands beside a plant`},
		"no beginning":     {"a,,38,,days,,,,,,,published,me,12\n", `mine.csv:2:8: biofix "" is not a month and a day; write the date as "Aug 20"`},
		"a base":           {"a,,38,,days,5,,Jan 1,,,,published,me,12\n", `mine.csv:2:6: base "5" does not go with days`},
		"full bloom":       {"a,,38,40,days,,,Jan 1,,,,published,me,12\n", `mine.csv:2:4: full "40" does not go with days`},
		"the next year":    {"a,,200,,days,,,Sep 1,,,,published,me,12\n", `mine.csv:2:3: onset "200" runs into the next year`},
		"days before":      {"a,,-3,,days,,,Sep 1,,,,published,me,12\n", `mine.csv:2:3: onset "-3" is outside 0..365`},
		"after with heat":  {"a,,38,,Cdd,5,average,Jan 1,,b,,published,me,12\n", `mine.csv:2:10: after "b" does not go with degree days`},
		"unknown light":    {"a,,38,,Cdd,5,average,Jan 1,moon,,,published,me,12\n", `mine.csv:2:9: light "moon" is not a weight of light`},
		"a gate of a date": {"a,,38,,days,,,light 11 h,,,,published,me,12\n", `mine.csv:2:8: biofix "light 11 h" is not a month and a day`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ReadForage("mine.csv", strings.NewReader(daysHeader+c.row))
			require.ErrorContains(t, err, c.want)
			bad := new(weather.SyntaxError)
			require.ErrorAs(t, err, &bad)
			require.NotEmpty(t, bad.Mend)
		})
	}
}
