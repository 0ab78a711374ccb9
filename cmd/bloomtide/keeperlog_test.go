package main

import (
	"bytes"
	"encoding/csv"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"bloomtide/forecast/web"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var noted = weather.YearMonthDay(2025, 5, 3)

// A cell that begins like a formula is text for a spreadsheet, and comes back
// as it was written.
func TestFormulasInCells(t *testing.T) {
	l := &keeperLog{folder: t.TempDir()}
	for _, text := range []string{`=HYPERLINK("http://x.example","y")`, "+1", "-2", "@SUM(A1)", "plain", `say "so", he`, "'quoted"} {
		require.NoError(t, l.Add("p", web.Note{Kind: web.NoteWeighed, Day: noted, Kg: 31.5, Text: text}))
		all, err := l.Notes("p")
		require.NoError(t, err)
		require.Equal(t, text, all[0].Text)
	}
	rows, err := csv.NewReader(strings.NewReader(source(t, l.folder, hiveFile))).ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		for _, cell := range row {
			require.False(t, cell != "" && strings.ContainsRune("=+-@", rune(cell[0])), cell)
		}
	}
}

// Two pages on one folder, each with a log of its own, lose no note.
func TestTwoPagesLoseNoNote(t *testing.T) {
	const pages, each = 4, 25
	folder := t.TempDir()
	var wg sync.WaitGroup
	for k := range pages {
		wg.Go(func() {
			l := &keeperLog{folder: folder}
			for i := range each {
				assert.NoError(t, l.Add("p", web.Note{Kind: web.NoteWeighed, Day: noted, Kg: float64(1 + k*each + i)}))
			}
		})
	}
	wg.Wait()
	all, err := (&keeperLog{folder: folder}).Notes("p")
	require.NoError(t, err)
	require.Len(t, all, pages*each)
}

// What the keeper wrote by hand stays octet for octet when a line comes and
// goes.
func TestKeepersOwnLinesStay(t *testing.T) {
	for name, before := range map[string]string{
		"other order":       "note,stage,date,plant,place,weather\nearly,first,2024-05-01,\"elder\",p,sunny\n",
		"no line end":       "date,plant,stage,place,note\n2024-05-01,elder,first,p,x",
		"windows":           "\ufeffDate,Plant,Stage,Place,Note\r\n2024-05-01,elder,first,p,x\r\n",
		"lines of his own":  "date,plant,stage,place,note\nsee page 7,,,,\n2024-05-01,elder,first,p,\"two\nlines\"\n",
		"twice the same":    "date,plant,stage,place,note\n2025-05-03,apple,full,p,\n",
		"nothing but heads": "date,plant,stage,place,note\n",
	} {
		t.Run(name, func(t *testing.T) {
			l := &keeperLog{folder: t.TempDir()}
			file := filepath.Join(l.folder, bloomFile)
			require.NoError(t, os.WriteFile(file, []byte(before), 0o600))
			n := web.Note{Kind: web.NoteBloom, Day: noted, Plant: "apple", Stage: "full"}
			require.NoError(t, l.Add("p", n))
			require.True(t, strings.HasPrefix(source(t, file), before))
			all, err := l.Notes("p")
			require.NoError(t, err)
			require.Equal(t, "apple", all[0].Plant)
			require.Equal(t, "full", all[0].Stage)
			require.NoError(t, l.Remove("p", all[0].ID))
			require.Equal(t, before, strings.TrimSuffix(source(t, file), strings.Repeat("\n", boolCount(!strings.HasSuffix(before, "\n")))))
			require.Error(t, l.Remove("other", all[0].ID), "another place's line")
		})
	}
}

func boolCount(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestBrokenRecords(t *testing.T) {
	for content, want := range map[string]string{
		"plant,stage\nelder,first\n":              `names no column "date"`,
		"date,plant\n":                            `has no column`,
		"date,plant,stage,place,note\n\"torn\n,x": "mend the line",
	} {
		l := &keeperLog{folder: t.TempDir()}
		require.NoError(t, os.WriteFile(filepath.Join(l.folder, bloomFile), []byte(content), 0o600))
		require.ErrorContains(t, l.Add("p", web.Note{Kind: web.NoteBloom, Day: noted, Plant: "apple", Stage: "full"}), want)
		require.Equal(t, content, source(t, l.folder, bloomFile), "nothing is written")
	}
}

// Undoing everything in any order leaves the files as they were.
func TestUndoInAnyOrder(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		l := &keeperLog{folder: dir}
		for _, f := range []string{bloomFile, hiveFile} {
			if err := os.Remove(filepath.Join(dir, f)); err != nil && !os.IsNotExist(err) {
				t.Fatal(err)
			}
		}
		for range rapid.IntRange(1, 5).Draw(t, "n") {
			n := web.Note{Kind: rapid.SampledFrom([]string{web.NoteDone, web.NoteWeighed, web.NoteBloom}).Draw(t, "kind"), Day: noted + weather.Date(rapid.IntRange(0, 2).Draw(t, "day")),
				Task: "2025-x-1.p@bloomtide", Text: rapid.StringMatching(`[ -~]{0,12}`).Draw(t, "text")}
			require.NoError(t, l.Add("p", n))
		}
		for {
			all, err := l.Notes("p")
			require.NoError(t, err)
			if len(all) == 0 {
				break
			}
			require.NoError(t, l.Remove("p", rapid.SampledFrom(all).Draw(t, "undone").ID))
			left, err := l.Notes("p")
			require.NoError(t, err)
			require.Len(t, left, len(all)-1)
		}
	})
}

// The dates of bloom that the page writes down are what calibrate reads.
func TestBloomNotesTeach(t *testing.T) {
	l := &keeperLog{folder: t.TempDir()}
	for year := 2013; year <= 2014; year++ {
		require.NoError(t, l.Add("seattle", web.Note{Kind: web.NoteBloom, Day: weather.YearMonthDay(year, 5, 20), Plant: "black locust", Stage: "first", Text: "=by the gate"}))
	}
	var out bytes.Buffer
	code := run(t.Context(), []string{"calibrate", "--observations", filepath.Join(l.folder, bloomFile), "--weather", filepath.Join("..", "..", "testdata", "seattle-weather.csv"), "--lat", "47.6"}, world{stdout: &out, stderr: io.Discard, now: scriptDay})
	require.Equal(t, exitDone, code)
	require.Contains(t, out.String(), "black locust, first bloom: 2 years, 2013 to 2014")
}
