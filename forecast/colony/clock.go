package colony

import (
	"math"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// The curve of laying over the year, from Schmickl and Crailsheim 2007 (from
// memory): two logistics of one width, 1600 eggs × the lesser of
//
//	1 / (1 + 385 e^(−2d/30))  and  1 − 1 / (1 + 36 e^(−2(d−155)/30))
//
// with the middle of the rise at day 89.3 and of the fall at day 208.8. Both
// middles move with the site's own degree days; days count from mid-winter, so
// that neither latitude nor calendar is asked.
const (
	curveDays    = 15.0  // width of both logistics, d
	riseDay      = 89.3  // 15 ln 385
	fallDay      = 208.8 // 155 + 15 ln 36
	growthC      = 5.0   // degree days count above this, °C; our own choice
	leastSummer  = 45.0  // from rise to fall at the least, d; our own choice
	coldestDays  = 30    // whose mean says whether there is a winter
	layToEmerge  = 21    // d from egg to bee
	partYearDays = 31    // a year cut off by more than this at an end is judged by the curve's own days there
)

// clock is the season as the colony feels it, on each day of a Season.
type clock struct {
	lay       []float64 // share of full laying that the season allows, 0 to 1
	wintering []float64 // share of emerging bees that become winter bees, 0 to 1
	waking    []float64 // share of full spring, 0 to 1: winter bees take up work
	endless   []float64 // 1 where the colony knows no winter, 0 where it has one
}

func newClock(s phenology.Season, t Tuning) clock {
	n := s.Len()
	all := make([]float64, 4*n)
	c := clock{all[:n:n], all[n : 2*n : 2*n], all[2*n : 3*n : 3*n], all[3*n:]}
	for y := phenology.YearOf(s.LatDeg, s.Start); ; y++ {
		from, to := phenology.YearStart(s.LatDeg, y), phenology.YearStart(s.LatDeg, y+1)
		if from >= s.End() {
			return c
		}
		c.year(s, t, yearOfSeason{from, to})
	}
}

// yearOfSeason is one plant year, To exclusive.
type yearOfSeason struct {
	from, to weather.Date
}

// year fills in the days of one plant year.
func (c clock) year(s phenology.Season, t Tuning, y yearOfSeason) {
	a, b := int(max(y.from, s.Start)-s.Start), int(min(y.to, s.End())-s.Start)
	rise, fall := y.middles(s, t, a, b)
	free := frostFree(s, t, a, b)
	for i := a; i < b; i++ {
		d := float64(s.Start + weather.Date(i) - y.from)
		up, down := curve.at(d-rise), 1-curve.at(d-fall)
		c.lay[i] = max(free, min(up, down))
		c.waking[i] = max(free, up*down)
		c.wintering[i] = (1 - free) * curve.at(d-layToEmerge-fall)
		c.endless[i] = free
	}
}

// middles returns the middle of the rise and of the fall, days from the year's
// start.
//
//	a, b  the year's part of the season as indices, b exclusive
func (y yearOfSeason) middles(s phenology.Season, t Tuning, a, b int) (rise, fall float64) {
	offset := float64(s.Start - y.from)
	rise, fall = riseDay, fallDay
	if float64(a)+offset <= partYearDays {
		sum, i := 0.0, a
		for ; i < b && sum < t.SpringDD; i++ {
			sum += max(float64(s.Mean(i))-growthC, 0)
		}
		rise += t.HeatShare * (float64(i) + offset - riseDay)
	}
	if y.to <= s.End() {
		sum, i := 0.0, b
		for ; i > a && sum < t.AutumnDD; i-- {
			sum += max(float64(s.Mean(i-1))-growthC, 0)
		}
		fall += t.HeatShare * (float64(i) + offset - fallDay)
	}
	return rise, max(fall, rise+leastSummer)
}

// frostFree returns 1 where the colony knows no winter, 0 where it has a real
// one, by the coldest month of the year's part.
func frostFree(s phenology.Season, t Tuning, a, b int) float64 {
	if b-a < coldestDays {
		return 0
	}
	sum, coldest := 0.0, math.Inf(1)
	for i := a; i < b; i++ {
		sum += float64(s.Mean(i))
		if i-a >= coldestDays {
			sum -= float64(s.Mean(i - coldestDays))
		}
		if i-a >= coldestDays-1 {
			coldest = min(coldest, sum/coldestDays)
		}
	}
	return clamp01((coldest - t.FrostFreeFromC) / max(t.FrostFreeC-t.FrostFreeFromC, 1e-9))
}

// logistic is 1/(1+e^(−x/curveDays)) at whole days, to save the hot
// path its exponentials.
type logistic [2*logisticDays + 1]float64

const logisticDays = 180 // beyond this from the middle the curve is flat: 6e-6

var curve = newLogistic()

func newLogistic() *logistic {
	var l logistic
	for i := range l {
		l[i] = 1 / (1 + math.Exp(-float64(i-logisticDays)/curveDays))
	}
	return &l
}

// at interpolates between whole days.
func (l *logistic) at(x float64) float64 {
	if x <= -logisticDays {
		return 0
	}
	if x >= logisticDays {
		return 1
	}
	i := math.Floor(x)
	k := int(i) + logisticDays
	return l[k] + (x-i)*(l[min(k+1, len(l)-1)]-l[k])
}

func clamp01(x float64) float64 { return min(max(x, 0), 1) }
