package flow

import (
	"slices"

	"bloomtide/ingest/weather"
)

// Flow is one nectar flow of one hive.
type Flow struct {
	Start, Peak, End weather.Date // first day, day of the highest gain, last day
	Kg               float64      // total of the gains above 0, kg
	FlowDays         int          // days at or above the threshold
	EffectiveDays    float64      // days
	BestWeekShare    float64      // 0 to 1
	EightyDays       int          // days that hold 80 % of the total
	Gaps             []Gap        // breaks inside, in order
	Shape            Shape
}

// Gap is a break inside a flow, of two days or more below the threshold, To
// exclusive.
type Gap struct{ From, To weather.Date }

// GapDays returns the days of all breaks.
func (f Flow) GapDays() int {
	n := weather.Date(0)
	for _, g := range f.Gaps {
		n += g.To - g.From
	}
	return int(n)
}

// KgPerDay returns the strength: the total over the days in flow, kg/d.
func (f Flow) KgPerDay() float64 {
	if f.FlowDays == 0 {
		return 0
	}
	return f.Kg / float64(f.FlowDays)
}

// FlowKgPerDay is the default of Rules.FlowKgPerDay.
const FlowKgPerDay = 0.25

// Smooth returns the centred three-day mean; the ends use the days they have.
func Smooth(gainKg []float64) []float64 {
	out := make([]float64, len(gainKg))
	for i := range gainKg {
		lo, hi := max(i-1, 0), min(i+2, len(gainKg))
		sum := 0.0
		for _, g := range gainKg[lo:hi] {
			sum += g
		}
		out[i] = sum / float64(hi-lo)
	}
	return out
}

// Detect finds the flows in a run of daily net gains by the default rules.
//
//	gainKg  corrected net gain of each day, kg; nothing added or taken by hand
//	start   the date of gainKg[0]
//
// A flow opens with three days in a row whose smoothed gain is at least
// FlowKgPerDay and closes before seven in a row below it. Flows come in the
// order of their dates.
func Detect(gainKg []float64, start weather.Date) []Flow {
	return DefaultRules().Detect(gainKg, start)
}

// Detect is the function Detect by these rules, which must be complete.
func (r Rules) Detect(gainKg []float64, start weather.Date) []Flow {
	smooth := Smooth(gainKg)
	var flows []Flow
	for i := 0; i < len(smooth); {
		if !r.opens(smooth[i:]) {
			i++
			continue
		}
		end := r.closes(smooth, i)
		flows = append(flows, r.measure(gainKg, smooth, span{i, end, start}))
		i = end + 1
	}
	return flows
}

func (r Rules) opens(smooth []float64) bool {
	n := int(r.StartRunDays)
	if len(smooth) < n {
		return false
	}
	for _, s := range smooth[:n] {
		if s < r.FlowKgPerDay {
			return false
		}
	}
	return true
}

// closes returns the last day at or above the threshold before a long enough
// run below it.
func (r Rules) closes(smooth []float64, from int) int {
	last := from
	for i := from; i < len(smooth) && i-last <= int(r.EndRunDays); i++ {
		if smooth[i] >= r.FlowKgPerDay {
			last = i
		}
	}
	return last
}

// span is a flow's first and last day as indices, and the date of index 0.
type span struct {
	from, to int
	start    weather.Date
}

func (r Rules) measure(gainKg, smooth []float64, at span) Flow {
	gain := gainKg[at.from : at.to+1]
	day := func(i int) weather.Date { return at.start + weather.Date(i) }
	f := Flow{
		Start: day(at.from), Peak: day(at.from), End: day(at.to),
		Kg: Total(gain), EffectiveDays: EffectiveDays(gain), BestWeekShare: BestWeekShare(gain),
		EightyDays: DaysHolding(gain, 0.8),
	}
	best, below := smooth[at.from], 0
	for i := at.from; i <= at.to; i++ {
		if smooth[i] > best {
			best, f.Peak = smooth[i], day(i)
		}
		if smooth[i] < r.FlowKgPerDay {
			below++
			continue
		}
		if below >= leastGapDays {
			f.Gaps = append(f.Gaps, Gap{From: day(i - below), To: day(i)})
		}
		f.FlowDays++
		below = 0
	}
	f.Shape = r.ShapeOf(f.EffectiveDays)
	return f
}

// leastGapDays below the threshold are a break, days. Our own choice.
const leastGapDays = 2

// Turning returns the day after which the running sum of gains rises for good
// from its lowest point, and the day of its highest point after that, as
// indices: a second opinion on where the season's flow starts and ends.
// ok is false for an empty run or one that only falls.
//
// Rule of the TrachtNet hive scales: the flow starts at the turn of the
// running sum and ends where it begins to fall for good.
func Turning(gainKg []float64) (low, high int, ok bool) {
	sum := make([]float64, len(gainKg))
	for i, running := 0, 0.0; i < len(gainKg); i++ {
		running += gainKg[i]
		sum[i] = running
	}
	if len(sum) == 0 {
		return 0, 0, false
	}
	high = slices.Index(sum, slices.Max(sum))
	if high < 0 { // a gain that is no number
		return 0, 0, false
	}
	low = slices.Index(sum[:high+1], slices.Min(sum[:high+1]))
	return low, high, high > low
}

// Main returns the flow with the largest total; ok is false for none.
func Main(flows []Flow) (main Flow, ok bool) {
	for _, f := range flows {
		if f.Kg > main.Kg {
			main, ok = f, true
		}
	}
	return main, ok
}

// Dearth is a stretch without gain between flows, To exclusive.
type Dearth struct{ From, To weather.Date }

// Dearths returns the stretches of ten days or more without smoothed gain
// between the first day of the first flow and the last day of the last, by the
// default rules.
func Dearths(gainKg []float64, start weather.Date, flows []Flow) []Dearth {
	return DefaultRules().Dearths(gainKg, start, flows)
}

// Dearths is the function Dearths by these rules, which must be complete.
func (r Rules) Dearths(gainKg []float64, start weather.Date, flows []Flow) []Dearth {
	if len(flows) == 0 {
		return nil
	}
	smooth := Smooth(gainKg)
	var out []Dearth
	run := 0
	for d := flows[0].Start; d <= flows[len(flows)-1].End; d++ {
		if smooth[d-start] <= 0 {
			run++
			continue
		}
		if run >= int(r.DearthDays) {
			out = append(out, Dearth{From: d - weather.Date(run), To: d})
		}
		run = 0
	}
	return out
}
