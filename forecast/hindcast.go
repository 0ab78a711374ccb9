package forecast

import (
	"fmt"
	"math"

	"bloomtide/forecast/verify"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// PastYear is one year to be forecast over again.
type PastYear struct {
	Year  int             // plant year
	Seen  float64         // day of the plant year on which the stage came, 0 for its first
	Model calibrate.Model // fitted without this year
	Error float64         // of the model with the year's full weather, predicted minus seen, days
}

// HindcastOptions of Hindcast; zero fields mean the stated defaults.
type HindcastOptions struct {
	Leads []int // days before the mean date of the stage; default 60, 45, 30, 21, 14, 7
	Trend bool  // warm the other years to the year in question by the record's own trend
	Like  bool  // keep the other years whose season so far was most like that of the year in question

	// Weather: Seen is the model's own date with full weather, so that only the
	// doubt of the weather to come is scored, and members are not dressed.
	Weather bool
}

// Lead is how forecasts of one lead time have done.
type Lead struct {
	Days  int     // before the mean date of the stage
	Issue float64 // day of the plant year on which they were issued
	N     int     // years

	MAE, RMSE, Bias float64 // days: of the median, the mean and the mean
	CRPS            float64 // fair, days
	Coverage80      float64 // share of years inside the central 80 %, 0 to 1

	// Against the dates of the other years; NaN where there are fewer than two.
	CRPSS                     float64 // of the whole range against all of those dates
	SkillMean                 float64 // of the mean against their mean, 1 − MSE/MSE
	MAEMeanDate, RMSEMeanDate float64 // of their mean date, days

	MAE90, CRPSS90, Coverage90 verify.Interval // 90 % bootstrap intervals over years

	latDeg float64
}

func defaultLeads() []int { return []int{60, 45, 30, 21, 14, 7} }

// Hindcast forecasts every year over again from its weather up to each lead
// time and the weather of other years after it, with a model that did not see
// the year. Years without whole weather are left out and counted in no N.
// Doubts say what could not be done, and what would mend it. The error is a
// *FewYearsError where the record has no year to stand for the weather to come.
//
// Protocol of PHENOLOGY section 5.2: leave one year out of model, members,
// dressing and blending alike.
func Hindcast(s weather.Series, years []PastYear, o HindcastOptions) (leads []Lead, doubts []string, err error) {
	asked := len(o.Leads) > 0
	if !asked {
		o.Leads = defaultLeads()
	}
	h := newHindcaster(s, years, o)
	switch {
	case len(h.seasons) < minMembers:
		return nil, nil, &FewYearsError{Station: s.Site.ID, Members: len(h.seasons), Issue: s.End()}
	case len(h.years) == 0:
		return nil, []string{"the stage was reached in no year with whole weather: there is nothing to hold a forecast against"}, nil
	case len(h.years) <= minMembers:
		doubts = append(doubts, fmt.Sprintf("only %d years can be forecast again: to tell skill against the dates of other years takes %d, and scores are rough below ten", len(h.years), minMembers+1))
	}
	mean := 0.0
	for _, y := range h.years {
		mean += y.Seen / float64(len(h.years))
	}
	middle := int(math.Round(mean))
	for _, days := range o.Leads {
		// Before the plant year nothing is observed yet, after it nothing is open.
		if issue := middle - days; issue < 1 || issue > yearDays {
			if !asked {
				continue
			}
			doubts = append(doubts, fmt.Sprintf("%d days before the mean date of the stage, %s, lies outside the plant year: left out; give %d to %d days",
				days, dayName(h.lat, middle), middle-yearDays, middle-1))
			continue
		}
		if l := h.lead(days, middle-days); l.N > 0 {
			leads = append(leads, l)
		}
	}
	return leads, doubts, nil
}

// yearDays of a plant year can be an issue date.
const yearDays = 365

// dayName writes a day of the plant year in a year without a leap day.
func dayName(latDeg float64, day int) string {
	return (phenology.YearStart(latDeg, 2001) + weather.Date(day)).Time().Format("2 January")
}

// PastYears turns a fit into the years that Hindcast goes over.
func PastYears(f calibrate.Fit) []PastYear {
	out := make([]PastYear, len(f.Years))
	for i, y := range f.Years {
		out[i] = PastYear{Year: y.Year, Seen: y.Seen, Model: f.Folds[i], Error: f.Errors[i]}
	}
	return out
}

// IssueDay returns the day of the plant year's calendar on which forecasts of
// this lead were issued, in a plant year of the place.
func (l Lead) IssueDay(year int) weather.Date {
	return phenology.YearStart(l.latDeg, year) + weather.Date(l.Issue)
}
