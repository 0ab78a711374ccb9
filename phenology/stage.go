package phenology

import (
	"math"
	"sort"
)

// Family is one way in which weather brings a stage of a plant about.
type Family uint8

// The families, simplest first.
const (
	FixedDate     Family = iota // the same date every year
	ThermalTime                 // degree days from a biofix
	SigmoidTime                 // sigmoid forcing from a biofix (Chuine 2000)
	LightTime                   // degree days weighted by daylength (Blümel and Chmielewski 2012)
	ShortDayTime                // degree days, free only in short days
	ChillThenHeat               // degree days from the day that chill is enough (sequential)
	ChillBesides                // degree days count by the chill so far (parallel)
	ChillTrade                  // more chill days, less heat (alternating, Cannell and Smith 1983)
)

var familyNames = [...]string{
	"mean date", "thermal time", "sigmoid forcing", "photothermal time", "short-day thermal time",
	"sequential chill and heat", "parallel chill and heat", "alternating chill and heat",
}

// String returns the name used in outputs.
func (f Family) String() string {
	if int(f) < len(familyNames) {
		return familyNames[f]
	}
	return "unknown family"
}

// Chills reports whether the family needs the chill of the winter before.
func (f Family) Chills() bool { return f >= ChillThenHeat }

// LeadIn is how many days before the plant year chill is counted: from 1
// November north of the equator (PHENOLOGY section 2.4).
const LeadIn = 61

// Stage says when one stage of one plant is reached, by any family. Fields
// that a family does not use are zero.
type Stage struct {
	Family Family
	Start  int     // biofix, days after the start of the plant year
	Need   float64 // what must come together: °C·d, or days of full forcing

	Clock     Clock   // heat of all families but SigmoidTime, with the light of LightTime and ShortDayTime
	GateH     float64 // above 0: heat counts from the first day with so much light, h
	Slope     float64 // SigmoidTime, 1/K, below 0
	Mid       float64 // SigmoidTime, °C
	ChillNeed float64 // ChillThenHeat, ChillBesides: chill portions
	Least     float64 // ChillBesides: share of heat that counts without chill
	TradeHeat float64 // ChillTrade: b, °C·d
	TradeRate float64 // ChillTrade: c, per chill day, below 0
}

// chillBelow is the mean temperature below which a day counts as a chill day
// for ChillTrade, °C (Cannell and Smith 1983, from memory).
const chillBelow = 5

// Rates are what each day of a season adds. Day LeadIn of both columns is the
// first of the plant year.
type Rates struct{ Heat, Chill []float64 }

// Rates returns the daily columns of a season that starts LeadIn days before
// the plant year.
//
//	chill  DailyChill of the season where it is already known, else nil
func (g Stage) Rates(s Season, chill []float64) Rates {
	r := Rates{Heat: make([]float64, s.Len())}
	for i := g.gate(s); i < len(r.Heat); i++ {
		r.Heat[i] = g.heat(s, i)
	}
	switch g.Family {
	case ChillThenHeat, ChillBesides:
		if r.Chill = chill; chill == nil {
			r.Chill = DailyChill(s)
		}
	case ChillTrade:
		r.Chill = make([]float64, s.Len())
		for i := range r.Chill {
			if s.Mean(i) < chillBelow {
				r.Chill[i] = 1
			}
		}
	}
	return r
}

func (g Stage) heat(s Season, i int) float64 {
	switch g.Family {
	case FixedDate:
		return 1
	case SigmoidTime:
		return Sigmoid(float64(s.Mean(i)), g.Slope, g.Mid)
	}
	return float64(g.Clock.heat(s, i))
}

// gate returns the first day of a season, counted from its first, on which heat
// counts by the light.
func (g Stage) gate(s Season) int {
	if g.GateH <= 0 {
		return 0
	}
	return min(LeadIn+g.At(s.LatDeg).Start, s.Len())
}

// At returns the stage for one latitude: with the day on which enough light opens
// the gate in place of the gate.
func (g Stage) At(latDeg float64) Stage {
	const anyYear = 2001 // not a leap year
	if g.GateH > 0 {
		g.Start = max(g.Start, int(Biofix{LightH: g.GateH}.In(latDeg, anyYear)-YearStart(latDeg, anyYear)))
		g.GateH = 0
	}
	return g
}

// RatesKey is the stage without what Rates does not need: stages with the same
// key have the same Rates.
func (g Stage) RatesKey() Stage {
	g.Start, g.Need, g.ChillNeed, g.Least, g.TradeHeat, g.TradeRate = 0, 0, 0, 0, 0, 0
	return g
}

// Progress returns how far the stage has come by the end of each day of the
// plant year, rising from 0, in the unit of Need. It writes into buf where that
// is long enough.
func (g Stage) Progress(r Rates, buf []float64) []float64 {
	n := max(0, len(r.Heat)-LeadIn)
	if cap(buf) < n {
		buf = make([]float64, n)
	}
	buf = buf[:n]
	from := g.Start
	if g.Family == ChillThenHeat {
		from = max(from, g.chilled(r.Chill))
	}
	chill, sum := g.chillBefore(r.Chill, from), 0.0
	for d := range buf {
		if d < from {
			buf[d] = 0
			continue
		}
		heat := r.Heat[LeadIn+d]
		switch g.Family {
		case ChillBesides:
			chill += r.Chill[LeadIn+d]
			sum += heat * Competence(chill, g.ChillNeed, g.Least)
			buf[d] = sum
		case ChillTrade:
			chill += r.Chill[LeadIn+d]
			sum += heat
			buf[d] = sum + g.TradeHeat*(1-math.Exp(g.TradeRate*chill))
		default:
			sum += heat
			buf[d] = sum
		}
	}
	return buf
}

// chilled returns the day of the plant year after which chill is enough; a
// winter that is never cold enough never is.
func (g Stage) chilled(chill []float64) int {
	sum := 0.0
	for i, c := range chill {
		if sum += c; sum >= g.ChillNeed {
			return i + 1 - LeadIn
		}
	}
	return len(chill)
}

// chillBefore returns the chill before a day of the plant year.
func (g Stage) chillBefore(chill []float64, day int) float64 {
	if g.Family != ChillBesides && g.Family != ChillTrade {
		return 0
	}
	sum := 0.0
	for _, c := range chill[:min(LeadIn+day, len(chill))] {
		sum += c
	}
	return sum
}

// Cross returns the day of the plant year, 0 for its first, on which progress
// reaches the need, as a number that falls on a whole day at its noon: a need
// reached at the very end of day 30 gives 30.5. ok is false where it is not
// reached.
func Cross(progress []float64, need float64) (day float64, ok bool) {
	i := sort.SearchFloat64s(progress, need)
	if i == len(progress) {
		return 0, false
	}
	before := 0.0
	if i > 0 {
		before = progress[i-1]
	}
	share := 1.0
	if step := progress[i] - before; step > 0 {
		share = (need - before) / step
	}
	return float64(i) + share - 0.5, true
}

// NeedAt is the inverse of Cross: the progress at noon of a day of the plant
// year, or between two noons. Outside the year it is that of the nearest day.
func NeedAt(progress []float64, day float64) float64 {
	at := day + 0.5
	i := min(max(int(math.Floor(at)), 0), len(progress)-1)
	before := 0.0
	if i > 0 {
		before = progress[i-1]
	}
	return before + (progress[i]-before)*min(max(at-float64(i), 0), 1)
}
