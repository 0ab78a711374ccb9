package hive

import (
	"slices"

	"bloomtide/forecast/colony"
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Event is work that falls due in one course of weather.
type Event struct {
	Kind  Kind
	N     int          // which of several of its kind, from 1
	Day   weather.Date // the day it falls due
	Until weather.Date // last day of a watch, 0 for work of a single day

	wantKg float64 // honey wanted at a look at the stores, kg
}

// Course is one course of weather with what the colony gains in it.
type Course struct {
	Setup  Setup
	Season phenology.Season
	GainKg []float64   // net gain on each day of the season in a hive that never lacks room, kg honey
	Flows  []flow.Flow // in the order of their dates
	Days   []Day       // the keeper's own hive on each day, kept by the plan; nil where it was not lived through

	world   *colony.World
	brood   []float64 // frames of brood on each day
	plans   []Year    // of every plant year that the season touches
	autumns []autumn
}

// NewCourse lets a colony live through a season: once with endless room, for
// the nectar flow and the dates that follow from it, and once in the keeper's
// own boxes with that work done.
//
//	sugarKg  nectar sugar within reach on each day of the season, kg
func NewCourse(s Setup, season phenology.Season, sugarKg []float64) Course {
	s = s.WithDefaults()
	c := Course{Setup: s, Season: season}
	c.world = colony.NewWorld(season, sugarKg, s.ColoniesInReach, s.Tuning, s.Rules)
	c.reference()
	c.Flows = s.Rules.Detect(c.GainKg, season.Start)
	for y := phenology.YearOf(season.LatDeg, season.Start); phenology.YearStart(season.LatDeg, y) < season.End(); y++ {
		c.plans = append(c.plans, c.plan(y))
	}
	c.managed()
	return c
}

// Year is what one course of weather asks for in one plant year.
type Year struct {
	Events  []Event
	Flows   []flow.Flow // those that start in the year
	Main    flow.Flow   // the largest of them
	HasFlow bool        // false: no flow in the year, Main is empty
	Supers  int         // supers wanted for all crops

	CropStart, CropEnd weather.Date // first and last day of the flows that supers stand for
	StoresKg           float64      // honey wanted before winter, kg; 0 where no winter closes the hive
	HaveKg             float64      // honey in the brood boxes when it is weighed, kg
	SyrupKg            float64      // sugar fed then and up to the last day for it, kg
	BoundDays          int          // days honey-bound to the point of acting, in the laying season
	CongestedDays      int          // days congested to the point of acting, in the laying season

	year int
}

// Play returns the work of plant year y.
func (c Course) Play(y int) Year {
	if c.Days == nil {
		return c.plan(y)
	}
	for _, p := range c.plans {
		if p.year == y {
			p.Events = slices.Clone(p.Events)
			p.lived(c)
			return p
		}
	}
	return Year{year: y}
}

// plan returns the work of plant year y that follows from the weather and the
// nectar flows alone.
func (c Course) plan(y int) Year {
	from, to := phenology.YearStart(c.Season.LatDeg, y), phenology.YearStart(c.Season.LatDeg, y+1)
	whole := dayRange{from, to}.within(c.Season)
	out := Year{year: y}
	for _, f := range c.Flows {
		if f.Start >= from && f.Start < to {
			out.Flows = append(out.Flows, f)
		}
	}
	out.Main, out.HasFlow = flow.Main(out.Flows)
	out.spring(c, whole)
	off := from + lateSummerDay
	if out.HasFlow {
		off = out.season(c, whole)
	}
	out.winter(c, whole, off)
	return out
}

func (y *Year) add(k Kind, day weather.Date) {
	y.Events = append(y.Events, Event{Kind: k, N: 1, Day: day})
}

// lateSummerDay is the day of the plant year, 0 is mid-winter, by which supers
// are off where no flow says otherwise, and from which cold weeks count as the
// coming winter: the end of July. Our own choice.
const lateSummerDay = 210

// wintry reports whether a week after the start of the year's range r is cold
// enough to close the hive.
func (c Course) wintry(r dayRange) bool {
	s := c.Season
	_, cold := firstColdWeek(dayRange{r.from, r.from + lateWinterDays}.within(s), ClosedC, func(d weather.Date) weather.Celsius {
		return s.Mean(int(d - s.Start))
	})
	return cold
}

// spring adds the first look at stores: the first flying weather, when brood
// is growing and little comes in (common practice, no source).
func (y *Year) spring(c Course, r dayRange) {
	if d := c.FirstFlight(r.from, r.to); c.wintry(r) && d < r.to && d < r.from+lateSummerDay {
		y.add(SpringStoresCheck, d)
	}
}
