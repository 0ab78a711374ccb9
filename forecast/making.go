package forecast

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Making says how members were made beyond the splice of past years behind the
// issue date.
type Making struct {
	Outlook OutlookUse
	Trend   Trend
	Like    Likeness

	Doubts []string // what was asked for and could not be done
}

// Trend is the least-squares line through the mean temperature of the first
// half of the plant year.
type Trend struct {
	Years       int     // that it rests on; 0: members are not warmed
	First, Last int     // plant years
	KPerYear    float64 // slope, K a year
	ErrorK      float64 // its standard error, K a year
}

// leastTrendYears below which a slope is chance. Our own choice: of ten years
// a slope of 0.05 K a year is about one standard error.
const leastTrendYears = 10

// halfYear of the plant year is what the trend is fitted to, d: the time in
// which most plants make up their minds.
const halfYear = 181

// trendOf fits the trend of the plant years of a record that are whole in
// their first half. Years is 0 where they are too few.
func trendOf(x, meanC []float64) Trend {
	n := float64(len(x))
	if len(x) < leastTrendYears {
		return Trend{}
	}
	mx, my := mean(x), mean(meanC)
	var sxx, sxy, rest float64
	for i := range x {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (meanC[i] - my)
	}
	slope := sxy / sxx
	for i := range x {
		r := meanC[i] - my - slope*(x[i]-mx)
		rest += r * r
	}
	return Trend{
		Years: len(x), First: int(x[0]), Last: int(x[len(x)-1]),
		KPerYear: slope, ErrorK: math.Sqrt(rest / (n - 2) / sxx),
	}
}

// Likeness says which past years were kept for being like the season so far.
type Likeness struct {
	Of   int // past years that could have been members; 0: all were taken
	Kept int // members: the effective number, as they weigh alike

	Days      int     // before the issue date that were compared
	MeanC     float64 // their mean temperature, °C
	FarthestK float64 // how far that of the least like member lies from it, K
}

// Likeness compares the mean temperature of the days before the issue date, and
// keeps half of the years but never fewer than ten (PHENOLOGY section 5.1 asks
// for ten effective members). Days and share are our own choices.
const (
	likeDays    = 90
	leastLike   = 10
	likeShare   = 0.5
	leastOfLike = 0.8 // of the days that must be known
)

// warm fits the trend of the record's past plant years.
func (e *Ensemble) warm(past weather.Series) {
	var x, meanC []float64
	for z := phenology.YearOf(past.Site.LatDeg(), past.Start); z < e.Year; z++ {
		start := phenology.YearStart(past.Site.LatDeg(), z)
		if c, known := meanOf(past, start, start+halfYear); known >= leastOfLike*halfYear {
			x, meanC = append(x, float64(z)), append(meanC, c)
		}
	}
	if e.Making.Trend = trendOf(x, meanC); e.Making.Trend.Years == 0 {
		e.Making.Doubts = append(e.Making.Doubts, fmt.Sprintf(
			"a trend needs %d past years and the record has %d: past years are taken as they were", leastTrendYears, len(x)))
	}
}

// like keeps the members whose weather before the issue date was most like this
// year's, latest first.
func (e *Ensemble) like(past weather.Series) {
	keep := max(leastLike, int(math.Ceil(likeShare*float64(len(e.Members)))))
	now, known := meanOf(past, e.Issue-likeDays, e.Issue)
	doubt := ""
	switch {
	case known < leastOfLike*likeDays:
		doubt = fmt.Sprintf("only %d of the %d days before the issue date are known: past years cannot be chosen by likeness, all are taken", int(known), likeDays)
	case keep >= len(e.Members):
		doubt = fmt.Sprintf("%d past years are too few to choose from by likeness: all are taken", len(e.Members))
	}
	if doubt != "" {
		e.Making.Doubts = append(e.Making.Doubts, doubt)
		return
	}
	apartK := func(m Member) float64 {
		at := e.Issue.AddYears(m.Year - e.Year)
		c, n := meanOf(past, at-likeDays, at)
		if n < leastOfLike*likeDays {
			return math.Inf(1)
		}
		return math.Abs(c - now)
	}
	all := slices.Clone(e.Members)
	slices.SortStableFunc(all, func(a, b Member) int { return cmp.Compare(apartK(a), apartK(b)) })
	e.Making.Like = Likeness{Of: len(all), Kept: keep, MeanC: now, FarthestK: apartK(all[keep-1]), Days: likeDays}
	e.Members = all[:keep]
	slices.SortFunc(e.Members, func(a, b Member) int { return cmp.Compare(b.Year, a.Year) })
}

// meanOf returns the mean temperature of the usable days of a time, °C, and
// their number.
func meanOf(s weather.Series, from, to weather.Date) (meanC, known float64) {
	sum := 0.0
	for _, d := range s.Slice(from, to).Days {
		if d.Usable() {
			sum += float64(d.Min+d.Max) / 2
			known++
		}
	}
	return sum / max(known, 1), known
}
