package chart

import (
	"fmt"
	"io"
	"slices"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// Stores draws what the colony needs to have through the winter: from what is
// wanted in autumn down to the reserve at the first income of spring.
func Stores(w io.Writer, f forecast.Forecast, o Options) error {
	d := newDrawing(o)
	days, start := storeDays(f)
	days = scaled(days, d.mass(1))
	y := edge + d.key(edge, edge, []sample{{"line", "needed, middle of the years"}, {"band", "eight years in ten"}, {"limit", "reserve"}})
	d.text(edge, y+lineFeed-2, atStart, "q", d.massUnit()+" of honey in the hive")
	marks := storeFlags(f, d.Options, start, start+weather.Date(len(days)-1))
	p := plot{drawing: d, x: scale{float64(start), float64(start) + float64(len(days)-1), edge + axisWidth, d.width() - edge}}
	reserve := d.mass(hive.ReserveKg)
	at := ticks(max(highest(days), reserve), 4)
	top := y + lineFeed + edge + lineFeed*laneCount(marks, p.x, d.width())
	p.y = scale{0, at[len(at)-1], top + d.plotHeight(), top}
	p.amounts(at, number)
	p.months()
	if highest(days) > 0 {
		p.band(start, days)
		p.curve("line", start, forecast.Medians(days))
	}
	p.line("limit", p.x.lo, p.y.at(reserve), p.x.hi, p.y.at(reserve))
	p.flags(marks)
	d.height = p.y.lo + lineFeed + edge
	return d.writeTo(w, "Winter stores at "+f.Apiary.Name, storeWords(days, d.Options))
}

// storeDays cuts the stores to the days on which nine years in ten know of
// them.
func storeDays(f forecast.Forecast) ([]forecast.Spread, weather.Date) {
	all := f.Daily.StoresKg
	known := func(s forecast.Spread) bool { return s[0] > 0 }
	first := slices.IndexFunc(all, known)
	if first < 0 {
		return all, f.Daily.Start
	}
	last := first
	for last+1 < len(all) && known(all[last+1]) {
		last++
	}
	return all[first : last+1], f.Daily.Start + weather.Date(first)
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

func storeWords(days []forecast.Spread, o Options) string {
	if highest(days) == 0 {
		return "No winter closes the hive within a year."
	}
	return fmt.Sprintf("Wanted before winter: %s %s of honey in the middle of the years, %s to %s in eight years of ten; of it %s %s are a reserve that should be left at the first income of spring.",
		number(days[0][1]), o.massUnit(), number(days[0][0]), number(days[0][2]), number(o.mass(hive.ReserveKg)), o.massUnit())
}
