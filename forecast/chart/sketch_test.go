package chart_test

import (
	"math"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// sketched is a forecast made up of humps, so that the golden drawings change
// with the drawing and not with the science.
type sketched struct {
	name        string
	start, days int // of the main flow: day after the issue date, length
	kgPerDay    float64
	supers      []int // days after the issue date
	shape       flow.Shape
}

// The sketched places: their names and shapes are invented. One name is long,
// supers stand close together, and tasks of autumn fall on one day, since that
// is where words come to lie over each other.
func sketches() (slow, sharp sketched) {
	return sketched{"Upper Long Meadow by the Old Ferry House (invented)", 78, 36, 1.1, []int{64, 76, 92}, flow.SlowSteady},
		sketched{"Short Hill (invented)", 62, 14, 3.2, []int{51, 52, 54, 66}, flow.ShortSharp}
}

// hump rises from 0 at day from to 1 in the middle and back.
func hump(day, from, days int) float64 {
	if day < from || day >= from+days {
		return 0
	}
	return math.Sin(math.Pi * (float64(day-from) + 0.5) / float64(days))
}

func spanOf(from weather.Date, doubt int, share float64) forecast.Window {
	return forecast.Window{Early: from - weather.Date(doubt), Likely: from, Late: from + weather.Date(doubt), Share: share}
}

func (s sketched) forecast() forecast.Forecast {
	const days = 366
	issue := weather.YearMonthDay(2027, 4, 10)
	start, end := issue+weather.Date(s.start), issue+weather.Date(s.start+s.days-1)
	kg := s.kgPerDay * float64(s.days) * 0.64
	f := forecast.Forecast{
		Apiary: forecast.Apiary{ID: "sketch", Name: s.name, Setup: hive.Setup{}.WithDefaults()}, Issue: issue, Observed: issue - 1, Members: []int{2026, 2025},
		Flows: []forecast.FlowWindow{
			{Name: "early", Year: 2027, Start: spanOf(issue+40, 9, 0.6), End: spanOf(issue+52, 12, 0.6), Kg: [3]float64{1, 3, 6}, KgPerDay: 0.6, EffectiveDays: [3]float64{3, 6, 9}, Shape: flow.ShortSharp},
			{Name: "main", Year: 2027, Start: spanOf(start, 11, 1), End: spanOf(end, 13, 1), Kg: [3]float64{kg / 2, kg, 1.5 * kg}, KgPerDay: s.kgPerDay, EffectiveDays: [3]float64{8, 0.7 * float64(s.days), 40}, Shape: s.shape},
		},
		Measures: forecast.Measures{Year: 2027, Odds: 1, VisitDays: 7, Flows: forecast.Spread{1, 2, 2}, Dearths: forecast.Spread{0, 1, 1}, Supers: forecast.Spread{2, 3, 4}, StoresKg: forecast.Spread{17, 20, 23}},
	}
	f.Daily = s.daily(issue, days)
	for _, b := range []struct {
		plant          string
		from, len, odd int
		share          float64
	}{{"willow", 0, 14, 5, 1}, {"yellow sweet clover and melilot of the verges", 60, 40, 9, 1}, {"heather", 125, 30, 12, 0.8}, {"snowdrop", 330, 30, 6, 1}} {
		from := issue + weather.Date(b.from)
		column := forecast.BloomDays{Plant: b.plant, Share: make([]float64, days)}
		for i := range column.Share {
			column.Share[i] = b.share * hump(i, b.from-b.odd, b.len+2*b.odd)
		}
		f.Daily.Blooms = append(f.Daily.Blooms, column)
		f.Blooms = append(f.Blooms, forecast.BloomWindow{Plant: b.plant, Year: 2027, Feeds: true, First: spanOf(from, b.odd, b.share), End: spanOf(from+weather.Date(b.len), b.odd, b.share)})
	}
	for i, day := range s.supers {
		f.Tasks = append(f.Tasks, task(hive.SuperOn, i+1, issue+weather.Date(day)))
	}
	return withAutumn(f, end)
}

func withAutumn(f forecast.Forecast, end weather.Date) forecast.Forecast {
	autumn := f.Issue + 190
	f.Tasks = append(f.Tasks, task(hive.SupersOff, 1, end+16), task(hive.AutumnStoresCheck, 1, autumn-35),
		task(hive.LastSyrup, 1, autumn), task(hive.WinterClosed, 1, autumn), task(hive.SpringStoresCheck, 1, f.Issue+340))
	return f
}

func task(k hive.Kind, n int, day weather.Date) forecast.Task {
	return forecast.Task{Kind: k, N: n, Year: 2027, Window: spanOf(day, 8, 0.9)}
}

func (s sketched) daily(issue weather.Date, days int) forecast.Daily {
	d := forecast.Daily{Start: issue, OneYear: 2019}
	full := hive.Setup{}.WithDefaults().Super.AreaDm2()
	for i := range days {
		gain := s.kgPerDay*hump(i, s.start-10, s.days+20) + 0.6*hump(i, 36, 20)
		d.GainKg = append(d.GainKg, forecast.Spread{0, 0.5 * gain, 1.2 * gain})
		d.OneKg = append(d.OneKg, s.kgPerDay*hump(i, s.start, s.days)*(1+0.4*math.Sin(float64(i))))
		need := full * float64(len(s.supers)) * hump(i, s.start-12, s.days+45)
		d.NeedDm2 = append(d.NeedDm2, forecast.Spread{0.2 * need, 0.6 * need, need})
		stores, have := 0.0, 0.0
		if i > 150 {
			stores, have = 20-14*max(float64(i-190), 0)/176, 17+5*hump(i, 165, 50)-12*float64(i-150)/216
		}
		d.StoresKg = append(d.StoresKg, forecast.Spread{0.85 * stores, stores, 1.1 * stores})
		d.HaveKg = append(d.HaveKg, forecast.Spread{0.8 * have, have, 1.15 * have})
	}
	return d
}
