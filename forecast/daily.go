package forecast

import (
	"math"
	"slices"

	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Spread is a quantity over all members: 10, 50 and 90 % of them stay at or
// below its three values.
type Spread [3]float64

// NewSpread returns the spread of the members' values, NaN for none.
func NewSpread(x []float64) Spread {
	if len(x) == 0 {
		return Spread{math.NaN(), math.NaN(), math.NaN()}
	}
	s := slices.Clone(x)
	slices.Sort(s)
	return Spread{quantileOf(s, 0.1), quantileOf(s, 0.5), quantileOf(s, 0.9)}
}

// Median returns the middle value.
func (s Spread) Median() float64 { return s[1] }

// Daily is what the members say about each day from the issue date on. All
// columns are of one length, a year and a day; index 0 is Start.
//
// Each day is summarised for itself: no member is the middle one on every day,
// so the sum of the middle gains is not the middle of the sums.
type Daily struct {
	Start    weather.Date
	GainKg   []Spread    // net gain of one hive, kg/d; not to be shown where Relative
	OneKg    []float64   // net gain in the one member nearest the middle, kg/d; not to be shown where Relative
	OneYear  int         // the past year whose weather that member goes on with
	NeedDm2  []Spread    // comb above the excluder that honey and ripening nectar want, dm²; not to be shown where Relative
	StoresKg []Spread    // honey wanted to last until the first income, the reserve included, kg; zero outside winter
	HaveKg   []Spread    // honey in the brood boxes of a hive kept by the plan, kg; empty where none was lived through
	Comb     []hive.Day  // the evenings of that member's own hive; empty where none was lived through; not to be shown where Relative
	Blooms   []BloomDays // in the order of Forecast.Blooms
}

// BloomDays tells on each day the share of members, 0 to 1, in which a plant
// is in bloom.
type BloomDays struct {
	Plant string
	Share []float64
}

// Len returns the number of days.
func (d Daily) Len() int { return len(d.GainKg) }

// Medians returns the middle value of every day.
func Medians(column []Spread) []float64 {
	out := make([]float64, len(column))
	for i, s := range column {
		out[i] = s.Median()
	}
	return out
}

// daily summarises courses and blooms day by day.
//
//	played  [year after the present][member]
func (f Forecast) daily(all []hive.Course, played [planYears][]hive.Year, t bloomTable) Daily {
	const days = aheadDays + 1
	d := Daily{Start: f.Issue}
	gain, need, stores := make([][]float64, len(all)), make([][]float64, len(all)), make([][]float64, len(all))
	for i, c := range all {
		from := int(f.Issue - c.Season.Start)
		gain[i] = window(c.GainKg, from, days)
		need[i], stores[i] = make([]float64, len(c.GainKg)), make([]float64, len(c.GainKg))
		for k := range planYears {
			addNeed(need[i], c, played[k][i], hive.Course.CombDm2)
			addStores(stores[i], c, played[k][i])
		}
		need[i], stores[i] = window(need[i], from, days), window(stores[i], from, days)
	}
	d.HaveKg = haveKg(all, f.Issue, days)
	if one := f.middling(played); one >= 0 {
		d.OneKg, d.OneYear = gain[one], f.Members[one]
		for x := range weather.Date(days) {
			if day, ok := all[one].On(f.Issue + x); ok {
				d.Comb = append(d.Comb, day)
			}
		}
	}
	d.GainKg, d.NeedDm2, d.StoresKg = spreads(gain, days), spreads(need, days), spreads(stores, days)
	for _, b := range f.Blooms {
		d.Blooms = append(d.Blooms, BloomDays{b.Plant, t.shares(f.Apiary.plant(b.Plant), f.Issue, days)})
	}
	return d
}

// haveKg summarises the honey in the brood boxes, empty where a course was not
// lived through.
func haveKg(all []hive.Course, from weather.Date, days int) []Spread {
	columns := make([][]float64, len(all))
	for i, c := range all {
		if len(c.Days) == 0 {
			return nil
		}
		kg := make([]float64, len(c.Days))
		for k, d := range c.Days {
			kg[k] = d.NestKg
		}
		columns[i] = window(kg, int(from-c.Season.Start), days)
	}
	return spreads(columns, days)
}

// middling returns the member whose main flow starts and yields most like the
// middle of them: one course of weather as it may come, with the peaks that a
// summary day by day wears down. It is -1 where no member has a flow.
func (f Forecast) middling(played [planYears][]hive.Year) int {
	main, ok := f.MainFlow()
	k := f.Measures.Year - phenology.YearOf(f.Site.LatDeg(), f.Issue)
	if !ok || k < 0 || k >= planYears {
		return -1
	}
	best, least := -1, math.Inf(1)
	for i, y := range played[k] {
		if !y.HasFlow {
			continue
		}
		off := apart(float64(y.Main.Start-main.Start.Likely), float64(main.Start.Late-main.Start.Early)) +
			apart(y.Main.Kg-main.Kg[1], main.Kg[2]-main.Kg[0]) +
			apart(y.Main.EffectiveDays-main.EffectiveDays[1], main.EffectiveDays[2]-main.EffectiveDays[0])
		if off < least {
			best, least = i, off
		}
	}
	return best
}

// apart returns how far a value lies from the middle, counted in the width of
// its window.
func apart(off, width float64) float64 { return math.Abs(off) / max(width, 1) }

// window returns n values from index i on, zero where there is none.
func window(x []float64, i, n int) []float64 {
	out := make([]float64, n)
	if i < len(x) {
		copy(out, x[max(i, 0):])
	}
	return out
}

// spreads summarises the members' columns day by day.
func spreads(columns [][]float64, days int) []Spread {
	out := make([]Spread, days)
	x := make([]float64, len(columns))
	for d := range out {
		for i, c := range columns {
			x[i] = c[d]
		}
		out[d] = NewSpread(x)
	}
	return out
}

// shares returns on each day the share of members with plant p in bloom.
func (t bloomTable) shares(p int, from weather.Date, days int) []float64 {
	out := make([]float64, days)
	if p < 0 {
		return out
	}
	for _, y := range t.blooms[p] {
		for k := range planYears {
			b := y[k].bloom
			if !y[k].ok || b.End < from {
				continue
			}
			for d := max(b.Onset, from); d <= min(b.End, from+weather.Date(days)-1); d++ {
				out[d-from] += 1 / float64(len(t.blooms[p]))
			}
		}
	}
	return out
}
