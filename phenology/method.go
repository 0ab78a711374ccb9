package phenology

import (
	"fmt"
	"strings"
)

// methodNames are the words that forage tables use, in the order of printing.
var methodNames = []struct {
	name string
	m    Method
}{
	{"single sine", Method{Curve: Sine}},
	{"double sine", Method{Curve: Sine, Double: true}},
	{"single triangle", Method{Curve: Triangle}},
	{"double triangle", Method{Curve: Triangle, Double: true}},
	{"average", Method{Curve: Average}},
	{"modified average", Method{Curve: ModifiedAverage}},
}

var cutoffNames = []string{"horizontal", "intermediate", "vertical"}

// ParseMethod reads a method as a forage table writes it: a curve ("single
// sine", "double sine", "single triangle", "double triangle", "average",
// "modified average") and, after a comma, a cutoff ("horizontal" where none is
// given, "intermediate", "vertical"). Capitals do not matter. The error lists what
// is understood.
func ParseMethod(s string) (Method, error) {
	curve, cutoff, found := strings.Cut(s, ",")
	m, ok := methodByName(strings.TrimSpace(curve))
	if !ok {
		return Method{}, fmt.Errorf("unknown degree-day method %q; use one of %s", s, knownMethods())
	}
	if !found {
		return m, nil
	}
	for i, name := range cutoffNames {
		if strings.EqualFold(name, strings.TrimSpace(cutoff)) {
			m.Cutoff = Cutoff(i)
			return m, nil
		}
	}
	return Method{}, fmt.Errorf("unknown cutoff in %q; use one of %s", s, strings.Join(cutoffNames, ", "))
}

func methodByName(s string) (Method, bool) {
	for _, e := range methodNames {
		if strings.EqualFold(e.name, s) {
			return e.m, true
		}
	}
	return Method{}, false
}

func knownMethods() string {
	names := make([]string, len(methodNames))
	for i, e := range methodNames {
		names[i] = e.name
	}
	return strings.Join(names, ", ")
}

// String returns the words that ParseMethod reads.
func (m Method) String() string {
	cutoff := m.Cutoff
	m.Cutoff = Horizontal
	for _, e := range methodNames {
		if e.m != m {
			continue
		}
		if cutoff == Horizontal || int(cutoff) >= len(cutoffNames) {
			return e.name
		}
		return e.name + ", " + cutoffNames[cutoff]
	}
	return "unknown method"
}
