package main

import (
	"encoding/json"
	"strings"
	"testing"

	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"

	"github.com/stretchr/testify/require"
)

// document is the plan as its schema promises it to other programs.
type document struct {
	Schema    string       `json:"schema"`
	Place     place        `json:"place"`
	IssueDate weather.Date `json:"issue_date"`
	Members   struct {
		Count int `json:"count"`
		First int `json:"first_year"`
		Last  int `json:"last_year"`
	} `json:"members"`
	Blooms   []bloom  `json:"blooms"`
	Flows    []flow   `json:"flows"`
	Warnings []string `json:"warnings"`
	Tasks    []task   `json:"tasks"`
	Cautions []string `json:"cautions"`
}

type place struct {
	Name     string   `json:"name"`
	Invented bool     `json:"invented"`
	Lat      *float64 `json:"lat"`
	Lon      *float64 `json:"lon"`
}

type window struct {
	Early  *weather.Date `json:"early"`
	Likely *weather.Date `json:"likely"`
	Late   *weather.Date `json:"late"`
	Share  float64       `json:"share"`
}

type bloom struct {
	Plant  string `json:"plant"`
	Year   int    `json:"year"`
	First  window `json:"first"`
	Full   window `json:"full"`
	End    window `json:"end"`
	Status string `json:"status"`
	Source string `json:"source"`
}

type flow struct {
	Name  string `json:"name"`
	Year  int    `json:"year"`
	Start window `json:"start"`
	Peak  window `json:"peak"`
	End   window `json:"end"`
	Shape string `json:"shape"`
}

type task struct {
	Kind   string        `json:"kind"`
	N      int           `json:"n"`
	Year   int           `json:"year"`
	Title  string        `json:"title"`
	Early  weather.Date  `json:"early"`
	Likely weather.Date  `json:"likely"`
	Late   weather.Date  `json:"late"`
	Until  *weather.Date `json:"until"`
	Share  float64       `json:"share"`
	Why    string        `json:"why"`
	UID    string        `json:"uid"`
}

// planned runs plan --format json and decodes what it prints. Dates are read
// by weather.ParseDate, which takes nothing but YYYY-MM-DD.
func planned(t *testing.T, args ...string) document {
	t.Helper()
	got := invoke(t, append([]string{"plan", "--format", "json"}, args...)...)
	require.Equal(t, exitDone, got.code, got.stderr)
	var fields map[string]json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &fields))
	for _, f := range []string{"schema", "place", "issue_date", "blooms", "flows", "warnings", "tasks"} {
		require.Contains(t, fields, f)
		require.NotEqual(t, "null", string(fields[f]), f)
	}
	var d document
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &d))
	wellFormed(t, d)
	return d
}

// wellFormed holds what is true of every plan.
func wellFormed(t *testing.T, d document) {
	t.Helper()
	require.Equal(t, "bloomtide/plan/1", d.Schema)
	require.NotEmpty(t, d.Place.Name)
	require.Positive(t, d.Members.Count)
	require.NotEmpty(t, d.Cautions)
	for _, b := range d.Blooms {
		require.NotEmpty(t, b.Source, b.Plant)
		for _, w := range []window{b.First, b.Full, b.End} {
			ordered(t, w, b.Plant)
		}
	}
	for _, f := range d.Flows {
		require.NotEmpty(t, f.Shape, f.Name)
		for _, w := range []window{f.Start, f.Peak, f.End} {
			ordered(t, w, f.Name)
		}
	}
	seen := map[string]bool{}
	for _, k := range d.Tasks {
		ordered(t, window{&k.Early, &k.Likely, &k.Late, k.Share}, k.UID)
		require.Positive(t, k.Share, k.UID)
		require.Positive(t, k.N, k.UID)
		require.NotEmpty(t, strings.TrimSpace(k.Why), k.UID)
		require.NotContains(t, k.Why, "{}", k.UID)
		require.NotEqual(t, k.Kind, k.Title, k.UID)
		require.False(t, seen[k.UID], k.UID)
		seen[k.UID] = true
		if k.Until != nil {
			require.GreaterOrEqual(t, *k.Until, k.Likely, k.UID)
		}
	}
}

func ordered(t *testing.T, w window, what string) {
	t.Helper()
	require.GreaterOrEqual(t, w.Share, 0.0, what)
	require.LessOrEqual(t, w.Share, 1.0, what)
	if w.Early == nil || w.Likely == nil || w.Late == nil {
		require.Zero(t, w.Share, what)
		return
	}
	require.LessOrEqual(t, *w.Early, *w.Likely, what)
	require.LessOrEqual(t, *w.Likely, *w.Late, what)
}

// kinds returns the kinds of task in a plan, each once.
func (d document) kinds() map[string]bool {
	out := map[string]bool{}
	for _, k := range d.Tasks {
		out[k.Kind] = true
	}
	return out
}

// mainFlow returns the first main flow of a plan.
func (d document) mainFlow(t *testing.T) flow {
	t.Helper()
	for _, f := range d.Flows {
		if f.Name == "main" {
			require.NotNil(t, f.Start.Likely)
			return f
		}
	}
	require.Fail(t, "no main flow", "%s: %v", d.Place.Name, d.Flows)
	return flow{}
}

// Every kind of work has a name for people and, where the demo has it, a
// reason; the two counties together have them all.
func TestKindsAreToldApartAndExplained(t *testing.T) {
	known := map[string]bool{}
	titles := map[string]hive.Kind{}
	for _, k := range hive.Kinds() {
		require.False(t, known[string(k)], k)
		known[string(k)] = true
		require.Regexp(t, `^[a-z]+(-[a-z]+)*$`, string(k))
		require.Regexp(t, `^[A-Z][^_]+[^.]$`, k.Title())
		require.NotContains(t, titles, k.Title(), "%s and %s", k, titles[k.Title()])
		titles[k.Title()] = k
	}
	met := map[string]bool{}
	for _, county := range []string{"Quillmarsh", "Sarnholt"} {
		for _, k := range planned(t, "--place", county).Tasks {
			require.True(t, known[k.Kind], k.Kind)
			require.Contains(t, k.Title, hive.Kind(k.Kind).Title())
			met[k.Kind] = true
		}
	}
	require.Equal(t, known, met)
}
