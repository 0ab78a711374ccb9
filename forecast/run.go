package forecast

import (
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// Forecast is all that any output needs.
type Forecast struct {
	Apiary   Apiary
	Site     weather.Site
	Sources  []weather.Site // stations behind the place
	Issue    weather.Date
	Observed weather.Date // last observed day before the issue date
	Members  []int        // past years used, latest first
	Blooms   []BloomWindow
	Flows    []FlowWindow
	Tasks    []Task
	Daily    Daily
	Measures Measures // of the plant year of the next main flow
	Warnings []string
	Cautions []hive.Reason
}

// Run forecasts the coming year of an apiary from its daily record.
//
//	s      clean daily record of the place, with its latitude
//	issue  the issue date: nothing on or after it is used as observed
//
// The error is a *FewYearsError when the record is too short.
func Run(a Apiary, s weather.Series, issue weather.Date) (Forecast, error) {
	a.Setup = a.Setup.WithDefaults()
	e, err := NewEnsemble(s, issue)
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{Apiary: a, Site: s.Site, Sources: s.Sources, Issue: issue, Observed: e.LastDay, Cautions: hive.Cautions(a.Setup.Super)}
	for _, m := range e.Members {
		f.Members = append(f.Members, m.Year)
	}
	table := predict(a.Plants, e)
	for p, m := range a.Plants {
		w := table.windows(m, p, e)
		w.Feeds = a.feeds(m.Plant)
		f.Blooms = append(f.Blooms, w)
	}
	sortBlooms(f.Blooms)
	f.plan(courses(a, e, table), e, table)
	f.Warnings = warnings(f, s, e)
	return f, nil
}

// plan fills in flows, tasks and measures of both plant years.
func (f *Forecast) plan(all []hive.Course, e Ensemble, t bloomTable) {
	var found []Task
	var years [planYears][]hive.Year
	for k := range planYears {
		played := make([]hive.Year, len(all))
		for i, c := range all {
			played[i] = c.Play(e.Year + k)
		}
		years[k] = played
		flows := flowWindows(played, e.Year+k, f.Apiary)
		found = append(found, tasks(played, e.Year+k, facts(played, flows, f.Apiary))...)
		if main, ok := mainOf(flows); f.Measures.Year == 0 && (k == planYears-1 || ok && main.End.Late >= f.Issue) {
			f.Measures = measures(all, played, e.Year+k, flows)
		}
		for _, w := range flows {
			if w.End.Late >= f.Issue && w.Start.Likely <= f.Issue+aheadDays {
				f.Flows = append(f.Flows, w)
			}
		}
	}
	f.Tasks = upcoming(found, f.Issue)
	f.Daily = f.daily(all, years, t)
}

// feeds reports whether a stand of the plant makes nectar.
func (a Apiary) feeds(plant string) bool {
	for _, s := range a.Stands {
		if s.Plant == plant {
			return true
		}
	}
	return false
}

// MainFlow returns the next main flow; ok is false where there is none.
func (f Forecast) MainFlow() (FlowWindow, bool) { return mainOf(f.Flows) }

func mainOf(flows []FlowWindow) (FlowWindow, bool) {
	for _, w := range flows {
		if w.Name == mainFlow {
			return w, true
		}
	}
	return FlowWindow{}, false
}
