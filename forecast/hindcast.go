package forecast

import (
	"cmp"
	"math"
	"slices"

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
	CRPSS           float64 // against the dates of the other years; NaN where there are fewer than two
	Coverage80      float64 // share of years inside the central 80 %, 0 to 1
	MAEMeanDate     float64 // of the mean date of the other years, days

	MAE90, CRPSS90 verify.Interval // 90 % bootstrap intervals over years

	latDeg float64
}

func defaultLeads() []int { return []int{60, 45, 30, 21, 14, 7} }

// Hindcast forecasts every year over again from its weather up to each lead
// time and the weather of other years after it, with a model that did not see
// the year. Years without whole weather are left out and counted in no N.
//
// Protocol of PHENOLOGY section 5.2: leave one year out of model, members,
// dressing and blending alike.
func Hindcast(s weather.Series, years []PastYear, o HindcastOptions) []Lead {
	if len(o.Leads) == 0 {
		o.Leads = defaultLeads()
	}
	h := newHindcaster(s, years, o)
	if len(h.years) == 0 {
		return nil
	}
	mean := 0.0
	for _, y := range h.years {
		mean += y.Seen / float64(len(h.years))
	}
	var out []Lead
	for _, days := range o.Leads {
		issue := math.Round(mean) - float64(days)
		if issue < 1 {
			continue // before the plant year nothing is observed yet
		}
		out = append(out, h.lead(days, int(issue)))
	}
	return out
}

// hindcaster holds the columns of all years by model, so that a member is two
// copies and a search.
type hindcaster struct {
	o       HindcastOptions
	lat     float64
	years   []PastYear // those with weather
	seasons map[int]phenology.Season
	rates   map[rateKey]phenology.Rates
	chill   map[int][]float64
	trendK  float64 // warming of the record, K a year
}

// rateKey names the columns of one model in one year, warmed by steps of a
// tenth of a kelvin.
type rateKey struct {
	year   int
	tenths int
	stage  phenology.Stage
}

func newHindcaster(s weather.Series, years []PastYear, o HindcastOptions) *hindcaster {
	h := &hindcaster{
		o: o, lat: s.Site.LatDeg(), seasons: map[int]phenology.Season{},
		rates: map[rateKey]phenology.Rates{}, chill: map[int][]float64{},
	}
	for y := phenology.YearOf(h.lat, s.Start); y <= phenology.YearOf(h.lat, s.End()); y++ {
		if season, ok := wholeYear(s, y); ok {
			h.seasons[y] = season
		}
	}
	if o.Trend {
		h.trendK = springTrend(h.seasons)
	}
	for _, y := range years {
		if _, ok := h.seasons[y.Year]; ok {
			h.years = append(h.years, y)
		}
	}
	return h
}

// wholeYear returns a plant year with the days before it, if the record holds
// nearly all of it: the last weeks may be missing, as in the present year.
func wholeYear(s weather.Series, y int) (phenology.Season, bool) {
	start := phenology.YearStart(s.Site.LatDeg(), y)
	end := min(phenology.YearStart(s.Site.LatDeg(), y+1), s.End())
	const half = 183
	if end-start < half {
		return phenology.Season{}, false
	}
	year, err := calibrate.Window(s, start, end)
	return year, err == nil
}

// springTrend is the least-squares slope of the mean temperature of the first
// half of the plant year over the years, K a year.
func springTrend(seasons map[int]phenology.Season) float64 {
	var n, sx, sy, sxx, sxy float64
	for y, s := range seasons {
		mean, days := 0.0, min(s.Len(), phenology.LeadIn+181)
		for i := phenology.LeadIn; i < days; i++ {
			mean += float64(s.Mean(i)) / float64(days-phenology.LeadIn)
		}
		x := float64(y)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+mean, sxx+x*x, sxy+x*mean
	}
	if d := n*sxx - sx*sx; d > 0 {
		return (n*sxy - sx*sy) / d
	}
	return 0
}

// most members of a hindcast: those nearest in time, as for a forecast.
const hindcastMembers = maxMembers

// members are the years that stand in for the weather after the issue date of
// year y, nearest first.
func (h *hindcaster) members(y int) []int {
	var out []int
	for z := range h.seasons {
		if z != y {
			out = append(out, z)
		}
	}
	slices.SortFunc(out, func(a, b int) int {
		return cmp.Or(cmp.Compare(abs(a-y), abs(b-y)), cmp.Compare(a, b))
	})
	return out[:min(len(out), hindcastMembers)]
}

func abs(x int) int { return max(x, -x) }

// columns returns the rates of a stage in year z as if it were year y.
func (h *hindcaster) columns(g phenology.Stage, z, y int) phenology.Rates {
	k := rateKey{year: z, tenths: int(math.Round(10 * h.trendK * float64(y-z))), stage: g.RatesKey()}
	r, ok := h.rates[k]
	if ok {
		return r
	}
	season := h.seasons[z]
	if k.tenths != 0 {
		season = warmed(season, float64(k.tenths)/10)
	}
	var chill []float64
	if g.Family.Chills() && k.tenths == 0 {
		if chill = h.chill[z]; chill == nil {
			chill = phenology.DailyChill(season)
			h.chill[z] = chill
		}
	}
	r = g.Rates(season, chill)
	h.rates[k] = r
	return r
}

func warmed(s phenology.Season, byK float64) phenology.Season {
	shift := func(x []weather.Celsius) []weather.Celsius {
		out := make([]weather.Celsius, len(x))
		for i, v := range x {
			out[i] = v + weather.Celsius(byK)
		}
		return out
	}
	s.Min, s.Max = shift(s.Min), shift(s.Max)
	return s
}

// ensemble returns the day of the stage in every member of year i, by its
// weather up to the issue day and each other year's after it.
func (h *hindcaster) ensemble(i, issue int) []float64 {
	y := h.years[i]
	if y.Model.Fixed {
		return h.otherDates(i)
	}
	var out []float64
	var joined phenology.Rates
	for _, z := range h.members(y.Year) {
		at := h.sameDay(y.Year, z, issue)
		day, ok := y.Model.Predict(func(g phenology.Stage) phenology.Rates {
			own, other := h.columns(g, y.Year, y.Year), h.columns(g, z, y.Year)
			joined.Heat = splice2(joined.Heat, own.Heat, other.Heat, [2]int{issue, at})
			joined.Chill = splice2(joined.Chill, own.Chill, other.Chill, [2]int{issue, at})
			return joined
		})
		if ok {
			out = append(out, day)
		}
	}
	return out
}

// sameDay returns the day of plant year z on the calendar day of the issue.
func (h *hindcaster) sameDay(y, z, issue int) int {
	d := phenology.YearStart(h.lat, y) + weather.Date(issue)
	return int(d.AddYears(z-y) - phenology.YearStart(h.lat, z))
}

// splice2 writes own days before at[0] and the others from at[1] into buf; both
// count from the start of the plant year.
func splice2(buf, own, other []float64, at [2]int) []float64 {
	if own == nil || other == nil {
		return nil
	}
	cut := min(phenology.LeadIn+at[0], len(own))
	from := min(phenology.LeadIn+at[1], len(other))
	return append(append(buf[:0], own[:cut]...), other[from:]...)
}

// otherDates are the dates seen in all years but i: the climatology.
func (h *hindcaster) otherDates(i int) []float64 {
	var out []float64
	for j, y := range h.years {
		if j != i {
			out = append(out, y.Seen)
		}
	}
	return out
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
