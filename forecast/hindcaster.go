package forecast

import (
	"cmp"
	"math"
	"slices"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

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
// year y, nearest first, or the most alike of them.
func (h *hindcaster) members(y, issue int) []int {
	var out []int
	for z := range h.seasons {
		if z != y {
			out = append(out, z)
		}
	}
	slices.SortFunc(out, func(a, b int) int {
		return cmp.Or(cmp.Compare(abs(a-y), abs(b-y)), cmp.Compare(a, b))
	})
	out = out[:min(len(out), hindcastMembers)]
	keep := max(leastLike, int(math.Ceil(likeShare*float64(len(out)))))
	if !h.o.Like || keep >= len(out) {
		return out
	}
	now := h.before(y, issue)
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Compare(math.Abs(h.before(a, h.sameDay(y, a, issue))-now), math.Abs(h.before(b, h.sameDay(y, b, issue))-now))
	})
	return out[:keep]
}

// before is the mean temperature of the days before a day of the plant year, °C,
// as far as the year's columns reach back.
func (h *hindcaster) before(y, day int) float64 {
	s := h.seasons[y]
	to := min(phenology.LeadIn+day, s.Len())
	from := max(to-likeDays, 0)
	sum := 0.0
	for i := from; i < to; i++ {
		sum += float64(s.Mean(i))
	}
	return sum / float64(max(to-from, 1))
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
	for _, z := range h.members(y.Year, issue) {
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
