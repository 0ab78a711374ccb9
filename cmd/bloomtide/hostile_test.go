package main

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"bloomtide/forecast/ical"

	"github.com/stretchr/testify/require"
)

// willing writes a record into a new working folder and returns the arguments
// that plan from it.
func willing(t *testing.T) []string {
	t.Helper()
	plain, _, err := inventedRecord()
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("r.csv", []byte(plain), 0o644))
	return append([]string{"--weather", "r.csv"}, usual...)
}

// A spreadsheet runs a cell that begins with = + - or @, and with a tab or a
// carriage return before it (OWASP, CSV Injection).
func TestNoCellIsAFormula(t *testing.T) {
	args := willing(t)
	names := []string{"=cmd", "+cmd", "-cmd", "@cmd", "=HYPERLINK(1)"}
	table := "plant,taxon,onset,unit,base,method,biofix,status,source,bloom_days\n"
	for _, n := range names {
		table += n + "," + n + ",150,Cdd,5,single sine,Mar 1,unverified prior," + n + ",12\n"
	}
	require.NoError(t, os.WriteFile("forage.csv", []byte(table), 0o644))
	for _, command := range []string{"plan", "bloom"} {
		call := append([]string{command, "--format", "csv", "--place", "=cmd"}, args...)
		if command == "bloom" {
			call = append(call, "--forage", "forage.csv")
		}
		got := invoke(t, call...)
		require.Equal(t, exitDone, got.code, got.stderr)
		rows, err := csv.NewReader(strings.NewReader(got.stdout)).ReadAll()
		require.NoError(t, err)
		require.Greater(t, len(rows), len(names))
		var cells []string
		for _, r := range rows {
			cells = append(cells, r...)
		}
		for _, cell := range cells {
			require.False(t, cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])), "%q", cell)
		}
		for _, n := range names {
			require.Equal(t, command == "bloom", slices.Contains(cells, "'"+n), n)
		}
	}
}

// Line breaks, markup and property names in a place's name stay text: the
// calendar has the same events as one of a plain name, and no line more.
func TestPlaceNameCannotBreakTheCalendar(t *testing.T) {
	args := willing(t)
	shape := func(name string) (events int, begins []string) {
		got := invoke(t, append([]string{"plan", "--format", "ical", "--place", name}, args...)...)
		require.Equal(t, exitDone, got.code, got.stderr)
		p, err := ical.ReadPublished(strings.NewReader(got.stdout))
		require.NoError(t, err)
		for l := range strings.SplitSeq(strings.ReplaceAll(got.stdout, "\r\n ", ""), "\r\n") {
			require.NotContains(t, l, "\r")
			require.NotContains(t, l, "\n")
			word, _, _ := strings.Cut(l, ":")
			begins = append(begins, word)
		}
		return len(p), begins
	}
	events, begins := shape("Bend")
	require.Positive(t, events)
	for _, name := range []string{
		"Bend\r\nEND:VCALENDAR\r\nBEGIN:VEVENT", "Bend\nX:1", "<b>Bend</b>&amp;", `Bend\n;,"\`, "Bend\x00\x1b]0;x\x07",
		strings.Repeat("Übersee ", 60), "Bend\u2028ATTACH:x", ";X=1:Bend",
	} {
		n, b := shape(name)
		require.Equal(t, events, n, "%q", name)
		require.Equal(t, begins, b, "%q", name)
	}
}

// Two places never share an event, also where their names have no letter of
// ASCII.
func TestPlacesHaveEventsOfTheirOwn(t *testing.T) {
	args := willing(t)
	seen := map[string]string{}
	for _, name := range []string{"Bend", "Übersee", "Ubersee", "蜂場", "山地"} {
		for _, k := range planned(t, append([]string{"--place", name}, args...)...).Tasks {
			require.Empty(t, seen[k.UID], "%s of %s and %s", k.UID, name, seen[k.UID])
			seen[k.UID] = name
		}
	}
}

// The terminal gets no control characters from names in files either.
func TestNamesInFilesCannotSteerTheTerminal(t *testing.T) {
	args := willing(t)
	const red = "moon\x1b[31mwort"
	require.NoError(t, os.WriteFile("forage.csv", []byte("plant,onset,unit,base,method,biofix,status,source,bloom_days\n"+
		red+",150,Cdd,5,single sine,Mar 1,unverified prior,invented,12\n"), 0o644))
	got := invoke(t, append([]string{"bloom", "--forage", "forage.csv"}, args...)...)
	require.Negative(t, strings.IndexFunc(got.stdout+got.stderr, control), "%q", got.stdout)
}
