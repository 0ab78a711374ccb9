package forecast_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// foreseen is an outlook of like days from (inclusive) to to (exclusive), °C.
func foreseen(from, to weather.Date, low, high weather.Celsius) weather.Series {
	s := weather.Series{Start: from}
	for range int(to - from) {
		s.Days = append(s.Days, weather.Day{Min: low, Max: high, MinFlags: weather.Observed, MaxFlags: weather.Observed})
	}
	return s
}

func runWith(t require.TestingT, a forecast.Apiary, s weather.Series, o forecast.Options) forecast.Forecast {
	f, err := forecast.RunWith(a, s, o)
	require.NoError(t, err)
	return f
}

func ensemble(t require.TestingT, s weather.Series, o forecast.Options) forecast.Ensemble {
	e, err := forecast.NewEnsembleWith(s, o)
	require.NoError(t, err)
	return e
}

// high is a member's maximum of a day.
func high(m forecast.Member, d weather.Date) float64 { return float64(m.Season.Max[d-m.Season.Start]) }

// An outlook stands before the past years for ten days. Its error over the
// members has the standard deviation of 1 to 4 K that ../shared/science,
// PHENOLOGY.md section 5.1, asks for, and no bias.
func TestOutlookIsDoubtedMoreFromDayToDay(t *testing.T) {
	s := temperate.record(1990, 2025)
	e := ensemble(t, s, forecast.Options{Issue: april, Outlook: forecast.Outlook{Days: foreseen(april, april+16, 9, 21)}})
	require.Equal(t, forecast.OutlookUse{Ahead: 10, Until: april + 9}, e.Making.Outlook)
	for lead, want := range map[weather.Date]float64{0: 1, 3: 2, 9: 4} {
		var x []float64
		for _, m := range e.Members {
			x = append(x, high(m, april+lead))
		}
		mean, sd := stat.MeanStdDev(x, nil)
		require.InDelta(t, 21, mean, 1e-9)
		require.InDelta(t, want, sd, 0.1*want, "lead %d", lead)
	}
	plain := ensemble(t, s, forecast.Options{Issue: april})
	for i, m := range e.Members {
		require.Equal(t, high(plain.Members[i], april+10), high(m, april+10), "the eleventh day is a past year's")
		require.Equal(t, high(plain.Members[i], april-1), high(m, april-1))
	}
}

// Days that outlook and record share tell how far apart their places lie, and
// days that only the outlook has fill the end of the record.
func TestOutlookFitsTheStation(t *testing.T) {
	s := temperate.record(2000, 2025)
	o := s.Slice(april-40, april+10)
	o.Days = slices.Clone(o.Days)
	for i := range o.Days {
		o.Days[i].Min += 3
		o.Days[i].Max -= 2
	}
	e := ensemble(t, s.Slice(s.Start, april-5), forecast.Options{Issue: april, Outlook: forecast.Outlook{Days: o}})
	require.InDelta(t, -3, e.Making.Outlook.MinK, 1e-9)
	require.InDelta(t, 2, e.Making.Outlook.MaxK, 1e-9)
	require.Equal(t, 35, e.Making.Outlook.Common)
	require.Equal(t, 5, e.Making.Outlook.Bridged)
	for _, m := range e.Members {
		require.InDelta(t, float64(s.At(april-3).Max), high(m, april-3), 1e-9)
	}
}

// What was made after the issue date is hindsight, and what ended before it
// tells nothing.
func TestOutlookOfAnotherDayIsNotUsed(t *testing.T) {
	s := temperate.record(2010, 2025)
	want := runWith(t, apiary(), s, forecast.Options{Issue: april})
	for name, o := range map[string]forecast.Outlook{
		"made later":  {Days: foreseen(april-10, april+16, 20, 30), Made: april + 1},
		"out of date": {Days: foreseen(april-40, april-20, 20, 30), Made: april - 36},
	} {
		f := runWith(t, apiary(), s, forecast.Options{Issue: april, Outlook: o})
		require.NotEmpty(t, warning(f, "the outlook"), name)
		require.Equal(t, want.Blooms, f.Blooms, name)
		require.Equal(t, want.Tasks, f.Tasks, name)
	}
}

// Ten warm days bring bloom forward, ten cold ones put it off.
func TestOutlookMovesBloom(t *testing.T) {
	s := temperate.record(2000, 2025)
	first := func(low, high weather.Celsius) weather.Date {
		f := runWith(t, apiary(), s, forecast.Options{Issue: april, Outlook: forecast.Outlook{Days: foreseen(april, april+10, low, high)}})
		return bloom(t, f, "oilseed rape").First.Likely
	}
	require.Less(t, first(12, 26), first(-2, 6)-4)
}

// The trend is the least-squares slope, as gonum has it, and members are warmed
// by it for each year that they lie back.
func TestTrendWarmsPastYears(t *testing.T) {
	s := temperate.record(1994, 2025)
	var x, y []float64
	for i := range s.Days {
		d := s.Start + weather.Date(i)
		s.Days[i].Min += weather.Celsius(0.05 * float64(d.Year()-1994))
		s.Days[i].Max += weather.Celsius(0.05 * float64(d.Year()-1994))
	}
	for year := 1994; year < 2025; year++ {
		sum := 0.0
		for d := day(year, time.January, 1); d < day(year, time.January, 1)+181; d++ {
			sum += float64(s.At(d).Min+s.At(d).Max) / 2
		}
		x, y = append(x, float64(year)), append(y, sum/181)
	}
	_, slope := stat.LinearRegression(x, y, nil, false)
	e := ensemble(t, s, forecast.Options{Issue: april, Trend: true})
	require.InDelta(t, slope, e.Making.Trend.KPerYear, 1e-9)
	require.Equal(t, 31, e.Making.Trend.Years)
	require.InDelta(t, 0.05, slope, 3*e.Making.Trend.ErrorK)
	for _, m := range e.Members {
		was := float64(s.At(day(m.Year, time.July, 1)).Max)
		require.InDelta(t, was+slope*float64(2025-m.Year), high(m, day(2025, time.July, 1)), 1e-9)
		require.Equal(t, float64(s.At(april-1).Max), high(m, april-1), "what is observed stays")
	}
	few := runWith(t, apiary(), temperate.record(2020, 2025), forecast.Options{Issue: april, Trend: true})
	require.Contains(t, warning(few, "a trend needs"), "10 past years and the record has 5")
	require.Equal(t, runWith(t, apiary(), temperate.record(2020, 2025), forecast.Options{Issue: april}).Tasks, few.Tasks)
}

// Of warm and cold winters those like this one's are kept: half, at least ten.
func TestLikenessKeepsYearsLikeThis(t *testing.T) {
	s := temperate.record(1994, 2025)
	for i := range s.Days {
		if d := s.Start + weather.Date(i); d.Year()%2 == 1 { // this year's among them
			s.Days[i].Min += 6
			s.Days[i].Max += 6
		}
	}
	e := ensemble(t, s, forecast.Options{Issue: april, Like: true})
	require.Len(t, e.Members, 15)
	require.Equal(t, 30, e.Making.Like.Of)
	require.Equal(t, 15, e.Making.Like.Kept)
	for i, m := range e.Members {
		require.Equal(t, 1, m.Year%2)
		if i > 0 {
			require.Less(t, m.Year, e.Members[i-1].Year, "latest first")
		}
	}
	few := ensemble(t, temperate.record(2016, 2025), forecast.Options{Issue: april, Like: true})
	require.Len(t, few.Members, 9)
	require.Contains(t, few.Making.Doubts[0], "9 past years are too few")
}

// The odds of bloom by a day never fall, are those of the window at its likely
// day, and end at the share that blooms.
func TestOddsOfBloomByDate(t *testing.T) {
	f := runWith(t, apiary(), temperate.record(2000, 2025), forecast.Options{Issue: april, By: []weather.Date{april + 20}})
	require.Equal(t, []weather.Date{april + 20}, f.By)
	for _, b := range f.Blooms {
		last := 0.0
		for d := april - 120; d < april+500; d++ {
			p := b.By(d)
			require.GreaterOrEqual(t, p, last)
			last = p
		}
		require.InDelta(t, b.First.Share, last, 1e-12)
		require.GreaterOrEqual(t, b.By(b.First.Likely), b.First.Share/2)
		require.Less(t, b.By(b.First.Likely-1), b.First.Share/2+1e-12)
	}
	require.Len(t, run(t, apiary(), temperate.record(2000, 2025), april).By, 4)
}

// What the keeper has seen this year is no longer open.
func TestSeenBloomOfThisYearCounts(t *testing.T) {
	s := temperate.record(2000, 2025)
	rape := bloom(t, run(t, apiary(), s, april+30), "oilseed rape")
	day := april + 20
	f := runWith(t, apiary(), s, forecast.Options{Issue: april + 30, Seen: []forecast.SeenBloom{{Plant: "oilseed rape", Day: day}, {Plant: "white clover", Day: april + 31}}})
	require.NotEqual(t, rape.First.Likely, day)
	require.Equal(t, forecast.Window{Early: day, Likely: day, Late: day, Share: 1}, bloom(t, f, "oilseed rape").First)
	require.Equal(t, bloom(t, run(t, apiary(), s, april+30), "white clover"), bloom(t, f, "white clover"), "a date after the issue date is not known yet")
}

// Where the weather tells nothing about the keeper's dates, those stand: the
// model is of no skill and steps aside. Where the model is right, it stays.
func TestForecastStepsAsideForTheKeepersDates(t *testing.T) {
	s := temperate.record(1994, 2025)
	a := apiary()
	clover := a.Plants[2]
	var random, right []forecast.SeenBloom
	for i, year := 0, 1995; year < 2025; i, year = i+1, year+1 {
		random = append(random, forecast.SeenBloom{Plant: clover.Plant, Day: day(year, time.July, 20) + weather.Date(i*7%5)})
		season, err := phenology.NewSeason(s, day(year, time.January, 1), day(year+1, time.January, 1))
		require.NoError(t, err)
		b, ok := clover.Predict(clover.Clock.Sums(season), year)
		require.True(t, ok)
		right = append(right, forecast.SeenBloom{Plant: clover.Plant, Day: b.Onset})
	}
	issue := april + 35
	f := runWith(t, a, s, forecast.Options{Issue: issue, Seen: random})
	k := skillOf(t, f, clover.Plant)
	require.True(t, k.Seen)
	require.Zero(t, k.Share)
	require.InDelta(t, 0, k.CRPSS, 1e-9)
	w := bloom(t, f, clover.Plant)
	require.GreaterOrEqual(t, w.First.Early, day(2025, time.July, 20))
	require.LessOrEqual(t, w.First.Late, day(2025, time.July, 25))
	require.Less(t, w.First.Likely, w.Full.Likely)

	f = runWith(t, a, s, forecast.Options{Issue: issue, Seen: right})
	require.Equal(t, 1.0, skillOf(t, f, clover.Plant).Share)
	require.Positive(t, skillOf(t, f, clover.Plant).CRPSS)
}

func skillOf(t require.TestingT, f forecast.Forecast, plant string) forecast.PastSkill {
	i := slices.IndexFunc(f.Past, func(k forecast.PastSkill) bool { return k.Plant == plant })
	require.GreaterOrEqual(t, i, 0, "nothing is said of %s", plant)
	return f.Past[i]
}

// How far off a plan has been is what one finds by forecasting every past year
// from its own record: the median of the members against the model's own date.
// From March on no leap day lies between the issue date and bloom, so that both
// ways of joining two years are one.
func TestPastSkillIsThatOfForecastsMadeThen(t *testing.T) {
	for seed := range uint64(5) {
		c := temperate
		c.seed = seed
		issue := day(2025, time.March, 1) + 17*weather.Date(seed)
		s := c.record(2013, 2025)
		a := without(apiary(), "oilseed rape", "small-leaved lime")
		clover := a.Plants[2]
		f := runWith(t, a, s, forecast.Options{Issue: issue})
		require.Equal(t, []string{clover.Plant}, f.Openers)
		k := skillOf(t, f, clover.Plant)
		require.Equal(t, 12, k.N)
		require.False(t, k.Seen)
		off, bias := 0.0, 0.0
		for year := 2013; year < 2025; year++ {
			var members []float64
			for z := 2013; z < 2025; z++ {
				if z != year {
					members = append(members, float64(spliced(t, s, clover, [2]int{year, z}, issue)))
				}
			}
			truth := float64(spliced(t, s, clover, [2]int{year, year}, issue))
			off += math.Abs(forecast.Median(members)-truth) / 12
			bias += (stat.Mean(members, nil) - truth) / 12
		}
		require.InDelta(t, off, k.MAE, 1e-6)
		require.InDelta(t, bias, k.Bias, 1e-6)
	}
}

// spliced is the first bloom in one year as another would have continued it from
// the issue date on.
func spliced(t require.TestingT, s weather.Series, m phenology.Model, years [2]int, issue weather.Date) weather.Date {
	made := s.Slice(day(years[0], time.January, 1), day(years[0]+1, time.January, 1))
	made.Days = slices.Clone(made.Days)
	for d := issue.AddYears(years[0] - 2025); d < made.End(); d++ {
		made.Days[d-made.Start] = s.At(d.AddYears(years[1] - years[0]))
	}
	season, err := phenology.NewSeason(made, made.Start, made.End())
	require.NoError(t, err)
	b, ok := m.Predict(m.Clock.Sums(season), years[0])
	require.True(t, ok)
	return b.Onset
}

// Work hangs on an unverified row that opens the flow, about as far as a plan
// made with the row so wrong is off, and on no row that has a source or no doubt.
func TestWorkHangsOnUnverifiedRows(t *testing.T) {
	s := temperate.record(2000, 2025)
	of := func(status phenology.Status, sd, scale float64) forecast.Forecast {
		a := without(apiary(), "oilseed rape", "small-leaved lime")
		a.Plants[2].Status, a.Plants[2].RelativeSD = status, sd
		a.Plants[2] = a.Plants[2].Scaled(scale)
		return run(t, a, s, april)
	}
	require.Empty(t, of(phenology.Published, 0.2, 1).Hangs)
	sure := of(phenology.UnverifiedPrior, 0.001, 1)
	require.Empty(t, sure.Hangs)
	require.Contains(t, warning(sure, "unverified prior"), "no work hangs on it")

	f, late, early := of(phenology.UnverifiedPrior, 0.2, 1), of(phenology.UnverifiedPrior, 0.2, 1.2), of(phenology.UnverifiedPrior, 0.2, 0.8)
	require.Len(t, f.Hangs, 1)
	require.Equal(t, "white clover", f.Hangs[0].Plant)
	require.Greater(t, f.Hangs[0].Days, 5.0)
	require.Contains(t, warning(f, "white clover rests on an unverified prior"), "kinds of work")
	checked := 0
	for _, m := range f.Hangs[0].Moves {
		require.Greater(t, math.Abs(m.Days), 3.0)
		if m.Kind != "excluder-on" {
			continue
		}
		checked++
		at := func(f forecast.Forecast) float64 {
			i := slices.IndexFunc(f.Tasks, func(x forecast.Task) bool { return x.Kind == m.Kind && x.Year == m.Year })
			return float64(f.Tasks[i].Window.Likely)
		}
		require.InDelta(t, max(at(late)-at(f), at(f)-at(early)), math.Abs(m.Days), 4, "of the middle of five members, not of all")
	}
	require.Equal(t, 1, checked)
}
