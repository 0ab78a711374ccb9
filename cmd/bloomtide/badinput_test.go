package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// badInput is a wrong file and what the keeper must be told of it.
type badInput struct {
	name string
	file string                            // name of the file, "" for none
	make func(plain, packed string) string // its content
	args []string                          // after plan and the usual ones
	code int                               // exit code
	want []string                          // each on standard error
}

// usual are a place and an issue date that are right.
var usual = []string{"--lat", "48.2", "--lon", "21.4", "--issue", "2025-04-10"}

// line rewrites one line, counted from 1, of a text.
func line(text string, at int, to string) string {
	lines := strings.SplitAfter(text, "\n")
	lines[at-1] = to + "\n"
	return strings.Join(lines, "")
}

// scaled writes the record in another unit.
func scaled(plain string, by, plus float64) string {
	return rewritten(plain, "date,tmin,tmax", func(d day) string {
		return fmt.Sprintf("%s,%.0f,%.0f", d.date, d.min*by+plus, d.max*by+plus)
	})
}

// minimalPDF is the smallest file that readers take for a PDF: the header and
// trailer of ISO 32000-1, 7.5.
const minimalPDF = "%PDF-1.4\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n"

func badInputs() []badInput {
	return slices.Concat(badFiles(), badDays(), badPlaces())
}

func badFiles() []badInput {
	return []badInput{
		{name: "°F taken for °C", file: "f.csv", args: []string{"--unit", "C"},
			make: func(plain, _ string) string { return scaled(plain, 1.8, 32) },
			code: exitFailed, want: []string{"error: f.csv:", " is outside -90..60", "is the file in °F? use --unit F"}},
		{name: "°F without a word of it", file: "f.csv",
			make: func(plain, _ string) string { return scaled(plain, 1.8, 32) },
			code: exitFailed, want: []string{"error: f.csv: ", "cannot be °C", "use --unit F"}},
		{name: "tenths taken for °C", file: "t.csv", args: []string{"--unit", "C"},
			make: func(plain, _ string) string { return scaled(plain, 10, 0) },
			code: exitFailed, want: []string{"error: t.csv:", " is outside -90..60", "tenths of °C? use --unit tenths"}},
		{name: "tenths without a word of it", file: "t.csv",
			make: func(plain, _ string) string { return scaled(plain, 10, 0) },
			code: exitFailed, want: []string{"error: t.csv: ", "cannot be °C", "use --unit tenths"}},
		{name: "°C taken for °F", file: "c.csv", args: []string{"--unit", "F"},
			make: func(plain, _ string) string { return plain },
			code: exitFailed, want: []string{"error: c.csv: ", "cannot be °F", "use --unit C"}},
		{name: "°C taken for tenths", file: "c.csv", args: []string{"--unit", "tenths"},
			make: func(plain, _ string) string { return plain },
			code: exitFailed, want: []string{"error: c.csv: ", "cannot be tenths of °C", "use --unit C"}},
		{name: "columns swapped", file: "s.csv",
			make: func(plain, _ string) string { return strings.Replace(plain, "tmin,tmax", "tmax,tmin", 1) },
			code: exitFailed, want: []string{"error: s.csv:2: TMIN", "is above TMAX", "the columns look swapped", "--tmin-column and --tmax-column"}},
		{name: "columns named the wrong way round", file: "s.csv", args: []string{"--tmin-column", "tmax", "--tmax-column", "tmin"},
			make: func(plain, _ string) string { return plain },
			code: exitFailed, want: []string{"error: s.csv:2: TMIN", "the columns look swapped"}},
		{name: "a column that is not there", file: "s.csv", args: []string{"--tmin-column", "Low"},
			make: func(plain, _ string) string { return plain },
			code: exitFailed, want: []string{`error: s.csv:1: no column is named "Low"; the columns are date, tmin, tmax, rain;`}},
		{name: "empty", file: "e.csv", make: func(string, string) string { return "" },
			code: exitFailed, want: []string{"error: e.csv: the file is empty; give a file"}},
		{name: "header alone", file: "h.csv", make: func(string, string) string { return "date,tmin,tmax\n" },
			code: exitPoorData, want: []string{"error: h.csv: ", "no day has both", "give a longer record"}},
		{name: "a PDF", file: "p.pdf", make: func(string, string) string { return minimalPDF },
			code: exitFailed, want: []string{"error: p.pdf: this is a PDF, not a table of days; ask the publisher for the data as CSV"}},
		{name: "a PDF that claims to be CSV", file: "p.csv", make: func(string, string) string { return minimalPDF },
			code: exitFailed, want: []string{"error: p.csv: this is a PDF"}},
		{name: "truncated gzip", file: "z.csv.gz",
			make: func(_, packed string) string { return packed[:len(packed)/2] },
			code: exitFailed, want: []string{"error: z.csv.gz:", "ends too early", "fetch or copy it again"}},
		{name: "a file that is not there",
			args: []string{"--weather", "missing.csv"},
			code: exitUsage, want: []string{"error: no weather file missing.csv", "hint: name a file, a folder"}},
		{name: "a folder without files", file: "bare/.hidden", args: []string{"--weather", "bare"},
			make: func(string, string) string { return "" },
			code: exitUsage, want: []string{"error: no files in the weather folder bare", "hint: name a folder that holds daily temperature files"}},
		{name: "a folder without weather files", file: "notes/readme.txt", args: []string{"--weather", "notes"},
			make: func(string, string) string { return "hello\n" },
			code: exitFailed, want: []string{"error: notes/readme.txt:1: no header", "--date-column"}},
	}
}

func badDays() []badInput {
	return []badInput{
		{name: "one day with TMIN above TMAX", file: "d.csv",
			make: func(plain, _ string) string { return line(plain, 3000, "2003-03-18,9.5,1.0,0") },
			code: exitDone, want: []string{"warning: d.csv:3000: TMIN 9.5 °C is above TMAX 1.0 °C on 2003-03-18; neither is used"}},
		{name: "one day that no calendar has", file: "d.csv",
			make: func(plain, _ string) string { return line(plain, 3000, "2025-02-30,1.0,9.5,0") },
			code: exitDone, want: []string{"warning: d.csv:3000:1: no such day in the calendar", "2025-02-30", "correct the date or delete the line"}},
		{name: "days that no calendar has", file: "d.csv",
			make: func(plain, _ string) string {
				return rewritten(plain, "date,tmin,tmax", func(d day) string { return fmt.Sprintf("2025-02-30,%.1f,%.1f", d.min, d.max) })
			},
			code: exitFailed, want: []string{"error: d.csv:2:1: no such day in the calendar", "2025-02-30", "the file is not what it seems", "correct the date"}},
		{name: "three days", file: "three.csv",
			make: func(plain, _ string) string { return strings.Join(strings.SplitAfter(plain, "\n")[:4], "") },
			code: exitPoorData, want: []string{"error: three.csv: ", "3 usable days from 1995-01-01 to 1995-01-03, at least 365 are needed", "give a longer record"}},
		{name: "too few years before the issue date", file: "few.csv", args: []string{"--issue", "1996-06-01"},
			make: func(plain, _ string) string { return plain },
			code: exitPoorData, want: []string{"error: few.csv: ", "past years before 1996-06-01", "give a longer record"}},
	}
}

func badPlaces() []badInput {
	whole := func(plain, _ string) string { return plain }
	return []badInput{
		{name: "no latitude", file: "r.csv", args: []string{"--lat", "NaN"}, make: whole,
			code: exitUsage, want: []string{"error: the latitude of the place is not known", "hint: the weather file does not tell it; give --lat"}},
		{name: "forage row", file: "forage.csv", args: []string{"--weather", "r.csv", "--forage", "forage.csv"},
			make: func(string, string) string {
				return "plant,onset,unit,base,method,biofix,status,source,bloom_days\n" +
					"moonwort,tall,Cdd,5,single sine,Mar 1,unverified prior,invented,12\n"
			},
			code: exitFailed, want: []string{`error: forage.csv:2:2: onset "tall" is not a number; write a number such as 12.5`}},
		{name: "plant that the table does not have", file: "bloomtide.yaml", args: []string{"--weather", "r.csv"},
			make: func(string, string) string { return "stands:\n  - plant: black locst\n    hectares: 2\n" },
			code: exitUsage, want: []string{"error: bloomtide.yaml: stands: ", `"black locst"; did you mean "black locust"?`}},
	}
}

// TestBadInput is the table of the wrong inputs that the program promises to
// explain: the file, the line where there is one, and the mend.
func TestBadInput(t *testing.T) {
	plain, packed, err := inventedRecord()
	require.NoError(t, err)
	for _, c := range badInputs() {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			args := append([]string{"plan"}, usual...)
			if c.file != "" {
				require.NoError(t, os.MkdirAll(filepath.Dir(c.file), 0o755))
				require.NoError(t, os.WriteFile(c.file, []byte(c.make(plain, packed)), 0o644))
			}
			if slices.Contains(c.args, "r.csv") {
				require.NoError(t, os.WriteFile("r.csv", []byte(plain), 0o644))
			}
			if !slices.Contains(c.args, "--weather") {
				args = append(args, "--weather", c.file)
			}
			got := invoke(t, append(args, c.args...)...)
			require.Equal(t, c.code, got.code, got.stderr)
			for _, want := range c.want {
				require.Contains(t, got.stderr, want)
			}
			tidy(t, got)
		})
	}
}

// tidy holds the form of messages: each line begins with the program's name
// and its weight, and an error leaves no half result.
func tidy(t *testing.T, got outcome) {
	t.Helper()
	require.True(t, strings.HasSuffix(got.stderr, "\n"))
	for l := range strings.Lines(got.stderr) {
		require.Regexp(t, `^bloomtide: (error|warning|hint): [^A-Z ].*[^.\n]\n$`, l)
	}
	if got.code != exitDone {
		require.Contains(t, got.stderr, "bloomtide: error: ")
		require.Empty(t, got.stdout)
		return
	}
	require.NotContains(t, got.stderr, "bloomtide: error: ")
	require.Contains(t, got.stdout, "Take care")
}

// A right record with the same arguments passes, so that the refusals above
// are due to what is wrong in each.
func TestGoodInputPasses(t *testing.T) {
	plain, _, err := inventedRecord()
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("r.csv", []byte(plain), 0o644))
	got := invoke(t, append([]string{"plan", "--weather", "r.csv"}, usual...)...)
	require.Equal(t, outcome{code: exitDone, stdout: got.stdout}, got)
	require.Contains(t, got.stdout, "r: hive plan of Thu 10 Apr 2025")
}
