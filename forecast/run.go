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
	Making   Making
	Blooms   []BloomWindow
	Flows    []FlowWindow
	Tasks    []Task
	Daily    Daily
	Measures Measures       // of the plant year of the next main flow
	By       []weather.Date // for which outputs tell the odds of first bloom

	// Openers are the plants that open the next main flow and are yet to bloom;
	// Past says of them, and of every plant whose bloom the keeper has seen in
	// five past years, how far off forecasts made on this day have been.
	Openers []string
	Past    []PastSkill
	Hangs   []Hang // tasks that hang on rows of the forage table that nobody has verified

	Warnings []string
	Cautions []hive.Reason
}

// Run is RunWith without any option.
//
//	s      clean daily record of the place, with its latitude
//	issue  the issue date: nothing on or after it is used as observed
func Run(a Apiary, s weather.Series, issue weather.Date) (Forecast, error) {
	return RunWith(a, s, Options{Issue: issue})
}

// RunWith forecasts the coming year of an apiary from its daily record, which
// must be clean and know its latitude. The error is a *FewYearsError when the
// record is too short.
func RunWith(a Apiary, s weather.Series, o Options) (Forecast, error) {
	a.Setup = a.Setup.WithDefaults()
	e, err := NewEnsembleWith(s, o)
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{
		Apiary: a, Site: s.Site, Sources: s.Sources, Issue: o.Issue, Observed: e.LastDay, Making: e.Making, By: o.byDates(),
		Cautions: hive.Cautions(a.Setup.Super),
	}
	for _, m := range e.Members {
		f.Members = append(f.Members, m.Year)
	}
	table := predict(a.Plants, e)
	r := newRehearsal(s.Slice(s.Start, o.Issue), e)
	for p, m := range a.Plants {
		if k := table.learn(m, p, r, o.Seen); k.Seen {
			f.Past = append(f.Past, k)
		}
		w := table.windows(m, p, e)
		w.Feeds = a.feeds(m.Plant)
		f.Blooms = append(f.Blooms, w)
	}
	sortBlooms(f.Blooms)
	lived := courses(a, e, table)
	played := f.plan(lived, e, table)
	f.Openers = f.pastSkill(r, table, played, o)
	f.Hangs = f.hangs(e, table)
	f.Warnings = warnings(f, s, e)
	return f, nil
}

// plan fills in flows, tasks and measures of both plant years, and returns what
// was played.
func (f *Forecast) plan(all []hive.Course, e Ensemble, t bloomTable) [planYears][]hive.Year {
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
	return years
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
