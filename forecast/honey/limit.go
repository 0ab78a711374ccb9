package honey

import (
	"fmt"
	"strings"
)

// Limit is the most water that a rule allows.
type Limit struct {
	Rule    string  // short name
	Percent float64 // water, % of mass
	Kind    string  // which honey
	Source  string
}

// Limits returns the rules that the program knows. Law changes: the local text
// goes before this table.
func Limits() []Limit {
	const (
		eu    = "Directive 2001/110/EC, Annex II (read)"
		codex = "CXS 12-1981, revised 2001 and 2019 (from memory)"
		us    = "United States grades of extracted honey, 1985, voluntary (read)"
		anz   = "Australia New Zealand Food Standards Code 2.8.2 (read)"
		mark  = "several national quality marks (one read, one from memory)"
	)
	return []Limit{
		{"eu", 20, "honey", eu}, {"eu", 23, "ling heather; baker's honey", eu}, {"eu", 25, "baker's honey from ling heather", eu},
		{"codex", 20, "honey", codex}, {"codex", 23, "ling heather", codex},
		{"us", 18.6, "grades A and B", us}, {"us", 20, "grade C", us},
		{"au-nz", 21, "honey", anz},
		{"mark", 18, "honey under a quality mark", mark},
	}
}

// LimitsOf returns the limits of one rule; the error names those there are.
func LimitsOf(rule string) ([]Limit, error) {
	var out []Limit
	var names []string
	for _, l := range Limits() {
		if strings.EqualFold(l.Rule, rule) {
			out = append(out, l)
		}
		if len(names) == 0 || names[len(names)-1] != l.Rule {
			names = append(names, l.Rule)
		}
	}
	if out == nil {
		return nil, fmt.Errorf("unknown rule %q; use %s", rule, strings.Join(names, ", "))
	}
	return out, nil
}

// Targets are the waters that a keeper aims at, %. Zero fields take the
// defaults.
type Targets struct {
	Ripe float64 // take it at or below this; default 18.0, our own choice
	Warn float64 // at the edge up to this; default 18.6, the limit of US grade A
	Stop float64 // never take it above this; default 20.0, the limit of the EU
}

// WithDefaults fills in every zero field.
func (t Targets) WithDefaults() Targets {
	d := Targets{Ripe: 18.0, Warn: 18.6, Stop: 20.0}
	for _, f := range []struct{ have, def *float64 }{{&t.Ripe, &d.Ripe}, {&t.Warn, &d.Warn}, {&t.Stop, &d.Stop}} {
		if *f.have == 0 {
			*f.have = *f.def
		}
	}
	return t
}

// Verdict is what to do with honey of a given water.
type Verdict string

// The verdicts.
const (
	Ripe   Verdict = "ripe"
	Edge   Verdict = "nearly ripe"
	Wet    Verdict = "too wet to keep"
	Unripe Verdict = "unripe"
)

// Judge returns the verdict on honey of a given water, %.
func (t Targets) Judge(percent float64) Verdict {
	t = t.WithDefaults()
	switch {
	case percent <= t.Ripe:
		return Ripe
	case percent <= t.Warn:
		return Edge
	case percent <= t.Stop:
		return Wet
	default:
		return Unripe
	}
}
