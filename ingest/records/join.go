package records

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bloomtide/ingest/weather"
)

// kind is what may be seen once: one stage of one plant in one year at one
// place.
type kind struct {
	plant, place string
	stage        Stage
	year         int
}

// finish joins looks into intervals and names what contradicts itself.
func (t *table) finish() Observations {
	out := Observations{Bad: t.bad}
	groups := map[kind][]seen{}
	var order []kind
	for _, s := range t.looks {
		k := kind{fold(s.Plant), fold(s.Place), s.Stage, plantYear(t.o.LatDeg, s.Till)}
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], s)
	}
	for _, k := range order {
		if obs, ok := t.join(groups[k], k, &out.Bad); ok {
			out.Seen = append(out.Seen, obs)
		}
	}
	out.Seen = t.ordered(out.Seen, &out.Bad)
	slices.SortStableFunc(out.Seen, func(a, b Observation) int { return cmp.Compare(a.Line, b.Line) })
	slices.SortStableFunc(out.Bad, func(a, b error) int { return cmp.Compare(lineOf(a), lineOf(b)) })
	return out
}

func fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

func lineOf(err error) int {
	if e, ok := err.(*weather.SyntaxError); ok {
		return e.Line
	}
	return 0
}

// plantYear is the year from mid-winter to mid-winter, as package phenology
// has it: calendar years north of the equator, July to June south of it.
func plantYear(latDeg float64, d weather.Date) int {
	y, month, _ := d.YMD()
	if latDeg < 0 && month < 7 {
		return y - 1
	}
	return y
}

// join makes one observation of all looks of a kind.
func (t *table) join(all []seen, k kind, bad *[]error) (Observation, bool) {
	say := func(s seen, what, mend string) {
		*bad = append(*bad, &weather.SyntaxError{
			File: t.o.Name, Line: s.Line, Column: s.Column, Value: s.Till.String(),
			What: fmt.Sprintf("%s, %s bloom %s %s", s.Plant, s.Stage, s.Till, what), Mend: mend,
		})
	}
	var have *seen
	for i := range all {
		s := &all[i]
		if s.look != dated {
			continue
		}
		if have == nil {
			have = s
			continue
		}
		what := fmt.Sprintf("stands twice for %d, first on line %d", k.year, have.Line)
		if s.Till != have.Till {
			what = fmt.Sprintf("contradicts %s on line %d", have.Till, have.Line)
		}
		say(*s, what, "keep one line a year; this one is left out")
	}
	if have != nil {
		return have.Observation, true
	}
	return t.interval(all, say)
}

// interval joins the last no before the first yes.
func (t *table) interval(all []seen, say func(seen, string, string)) (Observation, bool) {
	var yes, no *seen
	for i := range all {
		if s := &all[i]; s.look == hasCome && (yes == nil || s.Till < yes.Till) {
			yes = s
		}
	}
	if yes == nil {
		say(all[len(all)-1], "was looked for but never found", "add a line with yes for the first day on which it had come; the year is left out")
		return Observation{}, false
	}
	for i := range all {
		if s := &all[i]; s.look == notYet && s.Till < yes.Till && (no == nil || s.Till > no.Till) {
			no = s
		}
	}
	obs := yes.Observation
	if no == nil {
		say(*yes, "has no day before it on which there was none", "it is used as the day itself, which may be late; note the days without bloom as no")
		return obs, true
	}
	obs.Day = no.Till
	return obs, true
}

// ordered leaves out stages that come before an earlier stage of the same
// plant, place and year.
func (t *table) ordered(all []Observation, bad *[]error) []Observation {
	type stand struct {
		plant, place string
		year         int
	}
	first := map[stand]map[Stage]Observation{}
	at := func(o Observation) stand {
		return stand{fold(o.Plant), fold(o.Place), plantYear(t.o.LatDeg, o.Till)}
	}
	for _, o := range all {
		k := at(o)
		if first[k] == nil {
			first[k] = map[Stage]Observation{}
		}
		first[k][o.Stage] = o
	}
	var out []Observation
	for _, o := range all {
		wrong := false
		for _, before := range earlier(o.Stage) {
			b, ok := first[at(o)][before]
			if ok && o.Till < b.Day {
				*bad = append(*bad, &weather.SyntaxError{
					File: t.o.Name, Line: o.Line, Column: o.Column, Value: o.Till.String(),
					What: fmt.Sprintf("%s, %s bloom %s comes before %s bloom %s on line %d", o.Plant, o.Stage, o.Till, before, b.Till, b.Line),
					Mend: "correct one of the dates; this line is left out",
				})
				wrong = true
				break
			}
		}
		if !wrong {
			out = append(out, o)
		}
	}
	return out
}

func earlier(s Stage) []Stage {
	switch s {
	case Full:
		return []Stage{First}
	case End:
		return []Stage{Full, First}
	default:
		return nil
	}
}
