package config

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// units are constants that assume nothing: conversions, the size of a table,
// and the defaults of settings, which the list has under the setting's name.
var units = map[string]bool{
	"mgPerKg": true, "gPerKg": true, "logisticDays": true, "FlowKgPerDay": true, "FlightC": true, "endlessDm2": true,
	"FewestCompared": true, "MostCompared": true, "lateCrop": true, "earlyCrop": true,
}

var ownChoice = regexp.MustCompile(`(?i)\bown\s+choices?\b`)

// No number hides in the code: the list names every constant of the packages
// that live through the hive's year, and of package forecast every one that its
// comment calls our own choice.
func TestEveryConstantIsListed(t *testing.T) {
	listed := map[string]bool{}
	for _, a := range (Settings{}).Assumptions() {
		listed[a.Where] = true
	}
	found := 0
	for dir, all := range map[string]bool{"forecast/flow": true, "forecast/colony": true, "forecast/hive": true, "forecast": false} {
		files, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(dir), "*.go"))
		require.NoError(t, err)
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			for _, id := range numbers(t, name, all) {
				found++
				where := fixedIn(dir+"/"+filepath.Base(name), id)
				require.True(t, listed[where] || units[id], "%s is not in the list of assumptions", where)
			}
		}
	}
	require.Greater(t, found, 60)
}

// numbers returns the numeric constants of a file, or those that are called our
// own choice.
func numbers(t *testing.T, name string, all bool) (out []string) {
	f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
	require.NoError(t, err)
	for _, d := range f.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.CONST {
			continue
		}
		for _, s := range g.Specs {
			v := s.(*ast.ValueSpec)
			own := ownChoice.MatchString(g.Doc.Text() + v.Doc.Text() + v.Comment.Text())
			for i, id := range v.Names {
				if i < len(v.Values) && numeric(v.Values[i]) && (all || own) {
					out = append(out, id.Name)
				}
			}
		}
	}
	return out
}

func numeric(e ast.Expr) bool {
	switch x := e.(type) {
	case *ast.BasicLit:
		return x.Kind == token.INT || x.Kind == token.FLOAT
	case *ast.BinaryExpr:
		return numeric(x.X) && numeric(x.Y)
	case *ast.UnaryExpr:
		return numeric(x.X)
	}
	return false
}

// Every choice that HIVE.md (../shared/science) marks PC is in the list with
// the value that it proposes; sections in brackets.
func TestChoicesOfTheDossier(t *testing.T) {
	have := map[string]float64{}
	for _, a := range (Settings{}).Assumptions() {
		have[a.Name] = a.Default
	}
	for name, want := range map[string]float64{
		"flight": 12, "full_flight": 20, "heat": 35, "too_hot": 42, "washout": 10, "calm": 4, "gale": 8, // [1.6]
		"share of the maximum in the temperature of the flying hours": 0.75,
		"flow_gain": 0.25, "main_gain": 1, "flow_opens": 3, "flow_closes": 7, "dearth_days": 10, // [2.2]
		"short_sharp": 12, "slow_steady": 25, // [2.3]
		"nectar_sugar": 0.40, "unripe_days": 3, "unripe_volume": 2.5, "unripe_fill": 0.5, "honey_on_comb": 0.30, // [3.1, 3.2, 4.2]
		"harvest after the flow, dry air": 10, "harvest after the flow": 14, "harvest after the flow, damp air": 21, // [3.3]
		"water to aim at": 18.0, "water to be wary of": 18.6, "water at which nothing is taken": 20.0, // [3.6]
		"build-up before the first crop": 42, "handling": 0.85, // [5.1, 5.5]
		"swarm watch before the first crop": 28, "swarm watch after the main flow's start": 14, // [5.6]
		"bound_from": 0.25, "bound_to": 0.60, "laying_room": 3, "crowd_from": 0.7, "crowd_to": 1.1,
		"full_share": 2.0 / 3, "full_flow": 1, "warn": 0.6, "act": 0.8, "up_share": 0.95,
		"no super before the end of the flow": 14, "supers off before the last warm spell": 21, // [6]
		"length of a warm spell": 10, "cluster forms below": 13,
		"reserve of stores": 5, "use in a month with brood": 3, "use in a month without brood": 1, // [7.2]
		"syrup is taken from": 12, "days so warm after the last syrup": 14, // [7.4]
		"low stores in spring": 5, "stores that last too short": 10, "feed at once below": 3, // [7.5]
		"first super before the first crop": 7, "mice move in below nights of": 8, "hive closed below a daily mean of": 10, // [11]
	} {
		got, ok := have[name]
		require.True(t, ok, "%s is not listed", name)
		require.InDelta(t, want, got, 1e-9, name)
	}
}
