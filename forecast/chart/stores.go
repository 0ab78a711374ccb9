package chart

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// Stores draws the honey in a hive kept by the plan through the winter against
// what it needs to have: from what is wanted in autumn down to the reserve at
// the first income of spring.
func Stores(w io.Writer, f forecast.Forecast, o Options) error {
	d := newDrawing(o)
	days, have, start := storeDays(f)
	days, have = scaled(days, d.mass(1)), scaled(have, d.mass(1))
	reserve := d.mass(hive.ReserveKg)
	y := edge + d.key(edge, edge, []sample{{"line", "honey in the brood boxes"}, {"band", "eight years in ten"}, {"step", "needed"}, {"limit", "reserve"}})
	d.text(edge, y+lineFeed-2, atStart, "q", d.massUnit()+" of honey")
	marks := storeFlags(f, d.Options, start, start+weather.Date(len(days)-1))
	p := plot{drawing: d, x: scale{float64(start), float64(start) + float64(len(days)-1), edge + axisWidth, d.width() - edge}}
	at := ticks(max(highest(days), highest(have), reserve), 4)
	top := y + lineFeed + edge + lineFeed*laneCount(marks, p.x, d.width())
	p.y = scale{0, at[len(at)-1], top + d.plotHeight(), top}
	p.amounts(at, number)
	p.months()
	if highest(days) > 0 {
		p.band(start, have)
		p.curve("line", start, forecast.Medians(have))
		p.curve("step", start, forecast.Medians(days))
	}
	p.line("limit", p.x.lo, p.y.at(reserve), p.x.hi, p.y.at(reserve))
	p.flags(marks)
	d.height = p.y.lo + lineFeed + edge
	return d.writeTo(w, "Winter stores at "+f.Apiary.Name, storeWords(days, have, d.Options))
}

// storeDays cuts the stores to the days on which nine years in ten know of
// them: what is needed, and what the hive has, empty where that is not known.
func storeDays(f forecast.Forecast) (need, have []forecast.Spread, start weather.Date) {
	all := f.Daily.StoresKg
	known := func(s forecast.Spread) bool { return s[0] > 0 }
	first := slices.IndexFunc(all, known)
	if first < 0 {
		return all, nil, f.Daily.Start
	}
	last := first
	for last+1 < len(all) && known(all[last+1]) {
		last++
	}
	if len(f.Daily.HaveKg) == len(all) {
		have = f.Daily.HaveKg[first : last+1]
	}
	return all[first : last+1], have, f.Daily.Start + weather.Date(first)
}

// storeFlags are the tasks of autumn within the drawn days.
func storeFlags(f forecast.Forecast, o Options, from, to weather.Date) []flag {
	short := map[hive.Kind]string{
		hive.AutumnStoresCheck: "weigh, feed from", hive.LastSyrup: "last syrup", hive.WinterClosed: "close up", hive.SpringStoresCheck: "spring check",
	}
	var out []flag
	for _, t := range f.Tasks {
		if s, ok := short[t.Kind]; ok && t.Window.Likely >= from && t.Window.Likely <= to {
			out = append(out, flag{t.Window.Likely, s + " " + o.day(t.Window.Likely)})
		}
	}
	return out
}

func storeWords(days, have []forecast.Spread, o Options) string {
	if highest(days) == 0 {
		return "No winter closes the hive within a year."
	}
	words := fmt.Sprintf("Wanted before winter: %s %s of honey in the middle of the years, %s to %s in eight years of ten; of it %s %s are a reserve that should be left at the first income of spring.",
		number(days[0][1]), o.massUnit(), number(days[0][0]), number(days[0][2]), number(o.mass(hive.ReserveKg)), o.massUnit())
	if len(have) == 0 {
		return words
	}
	least := slices.MinFunc(have, func(a, b forecast.Spread) int { return cmp.Compare(a[1], b[1]) })
	return words + fmt.Sprintf(" A hive kept by the plan holds %s %s at the start and %s %s at the lowest, in the middle of the years.",
		number(have[0][1]), o.massUnit(), number(least[1]), o.massUnit())
}
