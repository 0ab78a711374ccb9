package calibrate

import (
	"math"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// The grids. Lower thresholds run from −5 °C, which early Prunus asks for, to
// 10 °C (PHENOLOGY section 4.2); the rest are our own choices, wide enough that
// the best cell of the open records lies inside.
const (
	coldestLower, hottestLower = -5.0, 10.0 // °C
	startEvery                 = 7          // days between biofixes tried
	latestStart                = 120        // days after the start of the plant year
	heatDays                   = 14         // days of heat that must lie between biofix and stage
)

// starts are the biofixes tried for a stage that was first seen on a day of the
// plant year.
func starts(earliest float64) []int {
	last := min(latestStart, int(earliest)-heatDays)
	out := []int{0}
	for s := startEvery; s <= last; s += startEvery {
		out = append(out, s)
	}
	return out
}

// span returns from, from+step … to.
func span(from, to, step float64) []float64 {
	var out []float64
	for x := from; x <= to+1e-9; x += step {
		out = append(out, x)
	}
	return out
}

// thermal is a stage of a family with a lower threshold.
func thermal(f phenology.Family, m phenology.Method, lower float64) phenology.Stage {
	return phenology.Stage{Family: f, Clock: phenology.Clock{
		Method:     m,
		Thresholds: phenology.Thresholds{Lower: weather.Celsius(lower), Upper: weather.Celsius(math.Inf(1))},
	}}
}

// cells returns the models of a family that are tried, without their needs.
// Those with the same rates follow each other.
//
//	m         degree-day method
//	earliest  first day of the plant year on which the stage was seen
func cells(f phenology.Family, m phenology.Method, earliest float64) []phenology.Stage {
	var out []phenology.Stage
	each := func(g phenology.Stage) {
		for _, s := range starts(earliest) {
			g.Start = s
			out = append(out, g)
		}
	}
	switch f {
	case phenology.ThermalTime:
		for _, lower := range span(coldestLower, hottestLower, 0.5) {
			each(thermal(f, m, lower))
		}
	case phenology.SigmoidTime:
		for _, slope := range []float64{-0.1, -0.15, -0.25, -0.4, -0.8} {
			for _, mid := range span(2, 22, 2) {
				each(phenology.Stage{Family: f, Slope: slope, Mid: mid})
			}
		}
	case phenology.LightTime:
		for _, exponent := range []float64{2, 4} {
			for _, lower := range span(-2, 8, 1) {
				g := thermal(f, m, lower)
				g.Clock.Light.Exponent = exponent
				each(g)
			}
		}
	case phenology.ShortDayTime:
		return shortDays(m)
	case phenology.ChillThenHeat, phenology.ChillBesides, phenology.ChillTrade:
		return chilled(f, m)
	}
	return out
}

// gated holds thermal time that waits for a daylength, where the sites lie at
// more than one latitude.
func gated(sites [][]Year, m phenology.Method, earliest float64) []phenology.Stage {
	const apart = 5.0 // degrees; own choice: within fewer, a gate and a date are hard to tell apart
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range sites {
		for _, y := range s {
			lo, hi = min(lo, math.Abs(y.Season.LatDeg)), max(hi, math.Abs(y.Season.LatDeg))
		}
	}
	var out []phenology.Stage
	if hi-lo < apart {
		return out
	}
	first := min(latestStart, int(earliest)-heatDays) // the lowest latitude is the earliest
	for _, lower := range span(coldestLower, hottestLower, 0.5) {
		for _, hours := range span(9.5, 14, 0.5) {
			g := thermal(phenology.ThermalTime, m, lower)
			if g.GateH = hours; g.At(lo).Start <= first && g.At(hi).Start <= latestStart {
				out = append(out, g)
			}
		}
	}
	return out
}

// shortDays holds plants of late summer: heat counts from the solstice on, the
// more the shorter the day.
func shortDays(m phenology.Method) []phenology.Stage {
	const solstice = 171 // days after the start of the plant year
	var out []phenology.Stage
	for _, longest := range []float64{14, 14.5, 15, 15.5, 16, 17} {
		for _, width := range []float64{1, 2, 3} {
			for _, lower := range []float64{0, 5, 10} {
				g := thermal(phenology.ShortDayTime, m, lower)
				g.Start, g.Clock.Light = solstice, phenology.Light{Longest: longest, Free: longest - width}
				out = append(out, g)
			}
		}
	}
	return out
}

// chilled holds the families that need a winter.
func chilled(f phenology.Family, m phenology.Method) []phenology.Stage {
	var out []phenology.Stage
	for _, lower := range span(-2, 8, 1) {
		g := thermal(f, m, lower)
		switch f {
		case phenology.ChillThenHeat:
			for _, need := range span(10, 80, 5) {
				g.ChillNeed = need
				out = append(out, g)
			}
		case phenology.ChillBesides:
			for _, g.ChillNeed = range span(20, 100, 20) {
				for _, g.Least = range []float64{0, 0.3, 0.6} {
					for _, g.Start = range []int{0, 31, 59} {
						out = append(out, g)
					}
				}
			}
		case phenology.ChillTrade:
			for _, g.TradeHeat = range []float64{200, 400, 800, 1600} {
				for _, g.TradeRate = range []float64{-0.005, -0.01, -0.02, -0.04} {
					for _, g.Start = range []int{0, 31} {
						out = append(out, g)
					}
				}
			}
		}
	}
	return out
}
