package hive

import (
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
)

// crops joins the flows that supers stand for into crops, each harvested on
// its own: the main flow, and every flow worth a harvest that starts before
// late summer. A flow that starts before the honey of the last one is ripe
// belongs to the same crop. What comes in later stays with the bees for the
// winter.
//
//	flows  in the order of their dates, main among them
//
// It also returns which of the crops holds the main flow.
func (c Course) crops(flows []flow.Flow, main flow.Flow, lateSummer weather.Date) (out []flow.Flow, mainCrop int) {
	for _, f := range flows {
		worth := f.Kg >= HarvestKg && f.Start < lateSummer
		if !worth && f.Start != main.Start {
			continue
		}
		if n := len(out); n > 0 && f.Start <= out[n-1].End+RipenDays {
			out[n-1] = c.join(out[n-1], f)
		} else {
			out = append(out, f)
		}
		if f.Start == main.Start {
			mainCrop = len(out) - 1
		}
	}
	return out, mainCrop
}

// join returns one flow from the start of a to the end of b.
func (c Course) join(a, b flow.Flow) flow.Flow {
	whole := c.GainKg[a.Start-c.Season.Start : b.End-c.Season.Start+1]
	joined := b
	if a.Kg > b.Kg {
		joined = a
	}
	joined.Start, joined.End = a.Start, b.End
	joined.Kg = flow.Total(whole)
	joined.EffectiveDays = flow.EffectiveDays(whole)
	joined.Shape = c.rules().ShapeOf(joined.EffectiveDays)
	return joined
}

// rules returns the choices by which flows are told apart.
func (c Course) rules() flow.Rules { return c.Setup.Rules.WithDefaults() }
