package forecast

import (
	"fmt"
	"math"
	"strings"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
)

// The fewest and the most places that can be compared: eight lines are what a
// reader takes in at a glance. Our own choice.
const (
	FewestCompared = 2
	MostCompared   = 8
)

// Compared is one place of a comparison.
type Compared struct {
	Forecast Forecast
	Main     FlowWindow // the next main flow, empty without one
	HasFlow  bool
	Days     float64 // likely length of the main flow, first to last day, days
}

// Comparison sets places, or set-ups of one place, side by side.
type Comparison struct {
	Places []Compared

	// What differs and what a keeper does differently, in plain words.
	Differs, Advice []hive.Reason
}

// Compare sets forecasts side by side, in the order given. It returns an error
// for fewer than two or more than eight.
func Compare(all []Forecast) (Comparison, error) {
	if len(all) < FewestCompared || len(all) > MostCompared {
		return Comparison{}, fmt.Errorf("%d places cannot be compared; give %d to %d", len(all), FewestCompared, MostCompared)
	}
	var c Comparison
	for _, f := range all {
		p := Compared{Forecast: f}
		if p.Main, p.HasFlow = f.MainFlow(); p.HasFlow {
			p.Days = float64(p.Main.End.Likely - p.Main.Start.Likely + 1)
		}
		c.Places = append(c.Places, p)
	}
	c.Differs = c.differs()
	for _, p := range c.Places {
		c.Advice = append(c.Advice, p.advice())
	}
	return c, nil
}

// Known reports whether amounts may be told: the cover of the stands is known.
func (p Compared) Known() bool { return !p.Forecast.Apiary.Relative }

// WorstTenSupers returns how many supers of new comb ten days in a row ask for
// at their worst, in the middle of the years; not to be shown where amounts are
// not Known.
func (p Compared) WorstTenSupers() float64 {
	return p.Forecast.Measures.WorstTenDm2[1] / p.Forecast.Apiary.Setup.WithDefaults().Super.AreaDm2()
}

// plainly returns a name with nothing in it that a Reason would take for a
// value.
func plainly(name string) string { return strings.ReplaceAll(name, "{}", "( )") }

func (p Compared) name() string { return plainly(p.Forecast.Apiary.Name) }

// contrast is one way in which two of a kind differ.
type contrast[T any] struct {
	of    func(T) float64 // NaN where it cannot be told
	unit  hive.Unit
	least float64 // difference that is worth a sentence
	share float64 // and this share of the larger value
	text  string  // low name, low value, high name, high value
}

// contrasts in the order a keeper asks. The least differences are our own
// choice: below them two places are run alike.
func contrasts() []contrast[Compared] {
	const week, halfWeek = 7, 3
	flowing := func(of func(Compared) float64) func(Compared) float64 {
		return func(p Compared) float64 {
			if !p.HasFlow {
				return math.NaN()
			}
			return of(p)
		}
	}
	known := func(of func(Compared) float64) func(Compared) float64 {
		return flowing(func(p Compared) float64 {
			if !p.Known() {
				return math.NaN()
			}
			return of(p)
		})
	}
	return []contrast[Compared]{
		{func(p Compared) float64 { return inTen(p.Forecast.Measures.Odds) }, hive.Count, 1, 0,
			"A main flow comes least often at %s (in {} years of ten) and most often at %s (in {})."},
		{flowing(func(p Compared) float64 { return float64(p.Main.Start.Likely) }), hive.OnDate, halfWeek, 0,
			"The main flow starts first at %s (about {}) and last at %s (about {})."},
		{flowing(func(p Compared) float64 { return p.Main.EffectiveDays[1] }), hive.Days, week, 0,
			"The main flow is most crowded at %s ({} of effective flow) and most spread out at %s ({})."},
		{known(func(p Compared) float64 { return p.Main.KgPerDay }), hive.Kg, 0.3, 0.2,
			"On a day in flow one hive gains least at %s ({}) and most at %s ({})."},
		{known(func(p Compared) float64 { return p.WorstTenSupers() }), hive.Count, 0.5, 0.2,
			"In the worst ten days honey asks for the least new comb at %s ({} supers) and for the most at %s ({})."},
		{flowing(func(p Compared) float64 { return p.Forecast.Measures.VisitDays }), hive.Days, 2, 0,
			"Visits must come closest together at %s ({} apart at most) and may be farthest apart at %s ({})."},
		{func(p Compared) float64 { return p.Forecast.Measures.Flows[1] }, hive.Count, 1, 0,
			"The year has the fewest flows at %s ({}) and the most at %s ({})."},
		{flowing(func(p Compared) float64 { return p.Forecast.Measures.DearthDays[1] }), hive.Days, week, 0,
			"Between its flows %s has the shortest dearth ({}) and %s the longest ({})."},
		{func(p Compared) float64 { return p.Forecast.Measures.StoresKg[1] }, hive.Kg, 2, 0.1,
			"Winter takes the least honey at %s ({}) and the most at %s ({})."},
	}
}

// inTen writes a share of 0 to 1 as years of ten, to a tenth.
func inTen(share float64) float64 { return math.Round(100*share) / 10 }

// differs says in which ways the places differ, the farthest apart of them
// named.
func (c Comparison) differs() []hive.Reason {
	return told(c.Places, contrasts(), Compared.name)
}

// told says for each contrast that is wide enough between which two of all it
// is widest.
func told[T any](all []T, ways []contrast[T], name func(T) string) []hive.Reason {
	var out []hive.Reason
	for _, k := range ways {
		low, high, ok := ends(all, k.of)
		if !ok {
			continue
		}
		a, b := k.of(all[low]), k.of(all[high])
		if b-a < max(k.least, k.share*b) {
			continue
		}
		out = append(out, hive.Reason{
			Text:   fmt.Sprintf(k.text, name(all[low]), name(all[high])),
			Values: []hive.Value{{Number: a, Unit: k.unit}, {Number: b, Unit: k.unit}},
		})
	}
	if len(out) == 0 {
		out = append(out, hive.Reason{Text: "They are alike in every way that is measured here."})
	}
	return out
}

// ends returns which of all has the lowest and which the highest value; ok is
// false where every value is NaN.
func ends[T any](all []T, of func(T) float64) (low, high int, ok bool) {
	for i, x := range all {
		v := of(x)
		switch {
		case math.IsNaN(v):
		case !ok:
			low, high, ok = i, i, true
		case v < of(all[low]):
			low = i
		case v > of(all[high]):
			high = i
		}
	}
	return low, high, ok
}

// advice says what a keeper does at this place, by the shape of its flow.
func (p Compared) advice() hive.Reason {
	name, m := p.name(), p.Forecast.Measures
	if !p.HasFlow {
		return hive.Reason{Text: "At " + name + " no main flow is expected: watch stores, add no super."}
	}
	supers := hive.Value{Number: math.Round(m.Supers[1])}
	start := hive.Value{Number: float64(p.Main.Start.Likely), Unit: hive.OnDate}
	visit := hive.Value{Number: m.VisitDays, Unit: hive.Days}
	switch p.Main.Shape {
	case flow.ShortSharp:
		return hive.Reason{Text: "At " + name + " have every super on before the flow starts about {}, {} in all: comb fills faster than visits can follow, and nectar without room is lost. Look at the brood nest every {}.",
			Values: []hive.Value{start, supers, {Number: float64(hive.CheckEveryDays(p.Main.Shape)), Unit: hive.Days}}}
	case flow.SlowSteady:
		return hive.Reason{Text: "At " + name + " add supers one by one from about {}, {} in all, as each fills. A visit every {} is enough, and a late start costs days, not the crop.",
			Values: []hive.Value{start, supers, visit}}
	default:
		return hive.Reason{Text: "At " + name + " start with two supers about {} and add to them, {} in all. Come every {} at the height of the flow.",
			Values: []hive.Value{start, supers, visit}}
	}
}
