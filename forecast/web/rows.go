package web

import (
	"fmt"
	"math"
	"net/url"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/report"
)

// compareRows writes what is measured of each place, a row each.
func compareRows(c forecast.Comparison, u report.Units) []compareRow {
	flowing := func(of func(forecast.Compared) string) func(forecast.Compared) string {
		return func(p forecast.Compared) string {
			if !p.HasFlow {
				return "none"
			}
			return of(p)
		}
	}
	text := func(p forecast.Compared, unit hive.Unit, x float64) string {
		if math.IsNaN(x) {
			return "–"
		}
		return report.ReasonText(p.Forecast, hive.Reason{Text: "{}", Values: []hive.Value{{Number: x, Unit: unit}}}, report.Options{Units: u})
	}
	rows := []struct {
		name string
		of   func(forecast.Compared) string
	}{
		{"Main flow starts about", flowing(func(p forecast.Compared) string {
			return text(p, hive.OnDate, float64(p.Main.Start.Likely))
		})},
		{"and ends", flowing(func(p forecast.Compared) string {
			return text(p, hive.OnDate, float64(p.Main.End.Likely))
		})},
		{"and lasts", flowing(func(p forecast.Compared) string { return text(p, hive.Days, p.Days) })},
		{"effective days", flowing(func(p forecast.Compared) string { return fmt.Sprintf("%.0f", p.Main.EffectiveDays[1]) })},
		{"shape", flowing(func(p forecast.Compared) string { return string(p.Main.Shape) })},
		{"one hive gains a day in flow", flowing(func(p forecast.Compared) string {
			if !p.Known() {
				return "not known"
			}
			return text(p, hive.Kg, p.Main.KgPerDay)
		})},
		{"main flow, share of years", func(p forecast.Compared) string { return fmt.Sprintf("%.0f %%", 100*p.Forecast.Measures.Odds) }},
		{"flows in a year", func(p forecast.Compared) string { return fmt.Sprintf("%.0f", p.Forecast.Measures.Flows.Median()) }},
		{"days in dearth between flows", func(p forecast.Compared) string { return fmt.Sprintf("%.0f", p.Forecast.Measures.DearthDays.Median()) }},
		{"dearths between flows", func(p forecast.Compared) string { return fmt.Sprintf("%.0f", p.Forecast.Measures.Dearths.Median()) }},
		{"supers wanted", func(p forecast.Compared) string { return fmt.Sprintf("%.0f", p.Forecast.Measures.Supers.Median()) }},
		{"of them in the ten days that fill most", flowing(func(p forecast.Compared) string {
			if !p.Known() {
				return "not known"
			}
			return fmt.Sprintf("%.0f", p.Forecast.Measures.WorstTenDm2.Median()/p.Forecast.Apiary.Setup.Super.AreaDm2())
		})},
		{"longest time between visits", flowing(func(p forecast.Compared) string { return text(p, hive.Days, p.Forecast.Measures.VisitDays) })},
		{"honey for the winter", func(p forecast.Compared) string { return text(p, hive.Kg, p.Forecast.Measures.StoresKg.Median()) }},
	}
	out := make([]compareRow, len(rows))
	for i, r := range rows {
		out[i].Name = r.name
		for _, p := range c.Places {
			out[i].Cells = append(out[i].Cells, r.of(p))
		}
	}
	return out
}

// parseQuery reads the choices of a query.
func parseQuery(query string) (Ask, error) {
	values, err := url.ParseQuery(query)
	if err != nil {
		return Ask{}, &badQuery{"address", query, "follow a link of the page"}
	}
	return parseAsk(values)
}
