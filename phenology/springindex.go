package phenology

import (
	"math"

	"bloomtide/ingest/weather"
)

// SpringDates are first leaf and first bloom of one indicator plant. A stage
// that is not reached before the limit has ok false.
type SpringDates struct {
	Leaf, Bloom     weather.Date
	LeafOK, BloomOK bool
}

// SpringIndex holds the Extended Spring Indices of one year: a measure of
// spring that needs no local fitting.
type SpringIndex struct {
	Lilac, ArnoldRed, Zabelii SpringDates
}

// Bloom returns the mean day of the year of first bloom of the three plants;
// ok is false where one of them is not reached.
func (s SpringIndex) Bloom() (doy float64, ok bool) {
	return meanDoy(s, func(d SpringDates) (weather.Date, bool) { return d.Bloom, d.BloomOK })
}

// Leaf returns the mean day of the year of first leaf, as Bloom.
func (s SpringIndex) Leaf() (doy float64, ok bool) {
	return meanDoy(s, func(d SpringDates) (weather.Date, bool) { return d.Leaf, d.LeafOK })
}

func meanDoy(s SpringIndex, of func(SpringDates) (weather.Date, bool)) (doy float64, ok bool) {
	all := []SpringDates{s.Lilac, s.ArnoldRed, s.Zabelii}
	for _, d := range all {
		day, reached := of(d)
		if !reached {
			return 0, false
		}
		doy += float64(day.DayOfYear()) / float64(len(all))
	}
	return doy, true
}

// springPlant holds the coefficients of one plant (program of the USA National
// Phenology Network, read).
type springPlant struct {
	days, synoptic, recent, earlier float64      // first leaf
	sinceLeaf, heat                 float64      // first bloom
	later                           weather.Date // days that the program adds to the first leaf it reports
}

func springPlants() (lilac, arnoldRed, zabelii springPlant) {
	return springPlant{3.306, 13.878, 0.201, 0.153, -23.934, 0.116, 0},
		springPlant{4.266, 20.899, 0.000, 0.248, -24.825, 0.127, 1},
		springPlant{2.802, 21.433, 0.266, 0.000, -11.368, 0.096, 0}
}

const (
	springGoal  = 999.5 // both stages are reached at this score
	springEvent = 637.0 // °F·h in three days that make a synoptic event
	springBase  = 31.0  // °F
	springLimit = 240   // day of the year after which the search ends
)

// ExtendedSpring returns the Extended Spring Indices of one calendar year.
// The season must hold 1 January; days after day 240 of the year do not matter.
// They are made for the northern hemisphere, and ok is false south of the
// equator or where the season starts later.
//
// Schwartz, Ahas and Aasa 2006; Schwartz, Ault and Betancourt 2013; Ault et al.
// 2015. Lags are brought forward every day: the published program leaves them
// standing on days below 31 °F, which can change a cold spring.
func ExtendedSpring(s Season, year int) (index SpringIndex, ok bool) {
	first := weather.YearMonthDay(year, 1, 1)
	if southern(s.LatDeg) || first < s.Start || first >= s.End() {
		return SpringIndex{}, false
	}
	heat := springHeat(s, first)
	lilac, arnold, zabelii := springPlants()
	return SpringIndex{lilac.run(heat, first), arnold.run(heat, first), zabelii.run(heat, first)}, true
}

// springHeat returns the growing degree hours of each day from first on, °F·h.
func springHeat(s Season, first weather.Date) []float64 {
	at := int(first - s.Start)
	n := min(s.Len()-at, springLimit)
	heat := make([]float64, n)
	for i := range heat {
		lo, hi := s.Min[at+i].Fahrenheit(), s.Max[at+i].Fahrenheit()
		if i > 0 { // a maximum below yesterday's minimum, and the like, is brought in order
			hi = max(hi, s.Min[at+i-1].Fahrenheit())
			lo = min(lo, s.Max[at+i-1].Fahrenheit())
		}
		heat[i] = springHours(lo, hi, springDaylength(s.LatDeg, i+1))
	}
	return heat
}

// springDaylength returns the daylength that the indices use, h.
func springDaylength(latDeg float64, doy int) float64 {
	i := float64(doy - 60)
	if doy <= 60 {
		i = float64(doy + 306)
	}
	tan := math.Tan(latDeg * math.Pi / 180)
	wave := math.Cos(0.0172*i - 1.95)
	light := 12.14 + 3.34*tan*wave
	if latDeg >= 40 {
		light = 12.25 + (1.6164+1.7643*tan*tan)*wave
	}
	return min(max(light, 1), 23)
}

// springHours returns the growing degree hours of a day above 31 °F, °F·h: the
// minimum first, a sine through the day and a logarithmic fall after sunset.
func springHours(lo, hi, light float64) float64 {
	if hi < springBase {
		return 0
	}
	if lo == 0 {
		lo = 0.01
	}
	if hi == lo {
		hi += 0.01
	}
	sum := max(0, lo-springBase)
	day := int(light)
	sine := func(h float64) float64 { return lo + (hi-lo)*math.Sin(math.Pi*h/(light+hottestLag)) }
	for h := 1; h <= day; h++ {
		sum += max(0, sine(float64(h))-springBase)
	}
	dusk := max(sine(light), 0.01)
	for k := 1; k <= 23-day; k++ {
		t := dusk - (dusk-lo)/math.Log(24-light)*math.Log(float64(k))
		sum += max(0, t-springBase)
	}
	return sum
}

// run finds both stages in the year's heat.
func (p springPlant) run(heat []float64, first weather.Date) (d SpringDates) {
	at := func(i int) float64 { return heat[max(i, 0)] } // before the year its first day is repeated
	events := 0.0
	leaf := -1
	for i := range heat {
		recent := at(i) + at(i-1) + at(i-2)
		if recent >= springEvent {
			events++
		}
		earlier := at(i-5) + at(i-6) + at(i-7)
		if p.days*float64(i)+p.synoptic*events+p.recent*recent+p.earlier*earlier >= springGoal {
			leaf = i
			break
		}
	}
	if leaf < 0 {
		return d
	}
	d.Leaf, d.LeafOK = first+weather.Date(leaf)+p.later, true
	sum := 0.0
	for i := leaf; i < len(heat); i++ {
		sum += heat[i]
		if p.sinceLeaf*float64(i-leaf)+p.heat*sum >= springGoal {
			d.Bloom, d.BloomOK = first+weather.Date(i), true
			return d
		}
	}
	return d
}
