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
	Shape            Shape
}

// KgPerDay returns the strength: the total over the days in flow, kg/d.
func (f Flow) KgPerDay() float64 {
	if f.FlowDays == 0 {
		return 0
	}
	return f.Kg / float64(f.FlowDays)
}

// How a flow is told from the days around it. Our own choice; gains are
// smoothed first, so that one day of rain is no end.
const (
	FlowKgPerDay = 0.25 // gain that counts as flow, kg/d
	startRunDays = 3    // days at or above in a row that open a flow
	endRunDays   = 7    // days below in a row that close it
	dearthDays   = 10   // days without gain in a row that make a dearth
)

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

// Detect finds the flows in a run of daily net gains.
//
//	gainKg  corrected net gain of each day, kg; nothing added or taken by hand
//	start   the date of gainKg[0]
//
// A flow opens with three days in a row whose smoothed gain is at least
// FlowKgPerDay and closes before seven in a row below it. Flows come in the
// order of their dates.
func Detect(gainKg []float64, start weather.Date) []Flow {
	smooth := Smooth(gainKg)
	var flows []Flow
	for i := 0; i < len(smooth); {
		if !opens(smooth[i:]) {
			i++
			continue
		}
		end := closes(smooth, i)
		flows = append(flows, measure(gainKg, smooth, i, end, start))
		i = end + 1
	}
	return flows
}

func opens(smooth []float64) bool {
	if len(smooth) < startRunDays {
		return false
	}
	for _, s := range smooth[:startRunDays] {
		if s < FlowKgPerDay {
			return false
		}
	}
	return true
}

// closes returns the last day at or above the threshold before a long enough
// run below it.
func closes(smooth []float64, from int) int {
	last := from
	for i := from; i < len(smooth) && i-last <= endRunDays; i++ {
		if smooth[i] >= FlowKgPerDay {
			last = i
		}
	}
	return last
}

func measure(gainKg, smooth []float64, from, to int, start weather.Date) Flow {
	gain := gainKg[from : to+1]
	f := Flow{
		Start: start + weather.Date(from), Peak: start + weather.Date(from), End: start + weather.Date(to),
		Kg: Total(gain), EffectiveDays: EffectiveDays(gain), BestWeekShare: BestWeekShare(gain),
		EightyDays: DaysHolding(gain, 0.8),
	}
	best := smooth[from]
	for i := from; i <= to; i++ {
		if smooth[i] > best {
			best, f.Peak = smooth[i], start+weather.Date(i)
		}
		if smooth[i] >= FlowKgPerDay {
			f.FlowDays++
		}
	}
	f.Shape = ShapeOf(f.EffectiveDays)
	return f
}

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
// between the first day of the first flow and the last day of the last.
func Dearths(gainKg []float64, start weather.Date, flows []Flow) []Dearth {
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
		if run >= dearthDays {
			out = append(out, Dearth{From: d - weather.Date(run), To: d})
		}
		run = 0
	}
	return out
}
