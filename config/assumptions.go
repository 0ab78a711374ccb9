package config

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/colony"
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
)

// Assumption is one number that the forecast rests on, other than the forage
// table and the boxes, which carry their own sources.
type Assumption struct {
	Name           string
	Unit           string
	Value, Default float64
	Lo, Hi         float64 // bounds of a setting; both 0 for a number that is fixed
	Where          string  // the setting or the file that holds it
	Why            string  // source, or that it is our own choice, and the reason
}

// tuningPrefix begins the key of every assumption that is a setting.
const tuningPrefix = "tuning."

// Assumptions returns every number of ours with its value: first those that are
// settings, then those that the code fixes.
func (s Settings) Assumptions() []Assumption {
	return slices.Concat(s.tuned(), s.fixed())
}

// tuned are the numbers that are settings below tuning.
func (s Settings) tuned() []Assumption {
	fl, co := flow.Knobs(), colony.Knobs()
	out := make([]Assumption, 0, len(fl)+len(co))
	add := func(name, unit string, def, lo, hi float64, why string) {
		value, ok := s.Tuning[name]
		if !ok {
			value = def
		}
		out = append(out, Assumption{name, unit, value, def, lo, hi, tuningPrefix + name, why})
	}
	for _, k := range fl {
		add(k.Name, k.Unit, k.Default, k.Lo, k.Hi, k.Why)
	}
	for _, k := range co {
		add(k.Name, k.Unit, k.Default, k.Lo, k.Hi, k.Why)
	}
	return out
}

// fixed are the others.
func (s Settings) fixed() []Assumption {
	var out []Assumption
	h := hive.Setup{}.WithDefaults()
	for _, x := range []Assumption{
		{Name: "bees that gather on one day at the most", Unit: "bees", Value: s.Hive.Foragers, Default: h.Foragers, Where: "hive.foragers", Why: "our own choice: a third of a strong colony of 60 000"},
		{Name: "colonies that share the forage", Unit: "colonies", Value: s.Hive.ColoniesInReach, Default: h.ColoniesInReach, Where: "hive.colonies_in_reach", Why: "our own choice: about three on each square kilometre within two kilometres"},
	} {
		x.Value = cmp.Or(x.Value, x.Default)
		out = append(out, x)
	}
	for _, list := range [][]flow.Constant{flow.Fixed(), colony.Fixed(), hive.Fixed(), forecast.Fixed()} {
		for _, f := range list {
			out = append(out, Assumption{f.Name, f.Unit, f.Value, f.Value, 0, 0, fixedIn(f.Where, f.ID), f.Why})
		}
	}
	return out
}

// Retune takes over every number that other settings hold away from its
// default.
func (s *Settings) Retune(other Settings) {
	for _, a := range other.tuned() {
		name := strings.TrimPrefix(a.Where, tuningPrefix)
		if a.Value == a.Default {
			continue
		}
		if s.Tuning == nil {
			s.Tuning = map[string]float64{}
		}
		s.Tuning[name] = a.Value
	}
}

// fixedIn says where a number stands that is no setting.
func fixedIn(file, id string) string { return "fixed in " + file + " as " + id }

// tuningDefaults are the entries of defaults.
func tuningDefaults() map[string]any {
	out := map[string]any{}
	for _, a := range (Settings{}).tuned() {
		out[a.Where] = a.Default
	}
	return out
}

// checkTuning refuses numbers that cannot be meant.
func (l *layers) checkTuning(s *Settings) error {
	if len(s.Tuning) == 0 {
		return nil
	}
	for _, a := range s.tuned() {
		if !(a.Value >= a.Lo && a.Value <= a.Hi) {
			return l.fault(a.Where, "`bloomtide assumptions` shows the default and why", "%g %s is outside %g..%g", a.Value, a.Unit, a.Lo, a.Hi)
		}
	}
	return nil
}

// tuning returns the numbers that the colony and its flows live by.
func (s Settings) tuning() (t colony.Tuning, r flow.Rules) {
	for _, k := range colony.Knobs() {
		*k.At(&t) = s.Tuning[k.Name]
	}
	for _, k := range flow.Knobs() {
		*k.At(&r) = s.Tuning[k.Name]
	}
	return t.WithDefaults(), r.WithDefaults()
}

// tuningExample writes the section of the example.
func tuningExample() string {
	var b strings.Builder
	b.WriteString("\n# ---- Numbers of our own, and those behind them --------------------------------\n")
	b.WriteString("# Change one only with a reason. `bloomtide assumptions` lists them all.\n#tuning:\n")
	for _, a := range (Settings{}).Assumptions() {
		name, ok := strings.CutPrefix(a.Where, tuningPrefix)
		if !ok {
			continue
		}
		for _, line := range Wrapped(a.Unit+": "+a.Why, 74) {
			b.WriteString("#  # " + line + "\n")
		}
		fmt.Fprintf(&b, "#  %s: %v\n", name, a.Default)
	}
	return b.String()
}

// Wrapped breaks a text into lines of at most width bytes.
func Wrapped(text string, width int) []string {
	var out []string
	line := ""
	for _, w := range strings.Fields(text) {
		if line != "" && len(line)+1+len(w) > width {
			out = append(out, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	return append(out, line)
}

// Rules returns the choices by which flows are told apart.
func (s Settings) Rules() flow.Rules {
	_, r := s.tuning()
	return r
}
