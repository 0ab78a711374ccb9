package forecast

import (
	"cmp"
	"math"
	"slices"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/verify"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// PastSkill is how far off forecasts of first bloom have been that were made on
// the same day of past years, each without the weather that followed: a
// hindcast at the issue date.
type PastSkill struct {
	Plant string
	Seen  bool // scored against the keeper's dates, else against the model's own date with full weather

	LeadDays int     // from the issue date to the mean date of first bloom
	N        int     // years
	MAE      float64 // of the middle member, days
	RMSE     float64 // of the mean of the members, days
	Bias     float64 // likewise, days; above 0 the forecast was late
	Within80 float64 // eight years in ten were missed by no more, days
	CRPS     float64 // fair, days
	CRPSS    float64 // against the dates of the other years

	MAEMeanDate float64 // of the mean date of the other years, days

	// Share of the model in the forecast, 0 to 1; the rest is taken from the
	// keeper's dates, because they have foretold as well or better.
	Share float64
}

// rehearsal plays the forecast of past years. It counts each clock once a year,
// so that a member is a search by halves.
type rehearsal struct {
	e     Ensemble
	lat   float64
	years []int // plant years with whole weather, latest first
	// heat of each plant year, in the order of years
	sums    map[phenology.Clock][]phenology.Sums
	seasons []phenology.Season
}

// newRehearsal takes the latest plant years of a record that are whole.
func newRehearsal(past weather.Series, e Ensemble) *rehearsal {
	r := &rehearsal{e: e, lat: past.Site.LatDeg(), sums: map[phenology.Clock][]phenology.Sums{}}
	for y := e.Year - 1; y >= phenology.YearOf(r.lat, past.Start) && len(r.years) <= maxMembers; y-- {
		season, err := phenology.NewSeason(past, phenology.YearStart(r.lat, y), phenology.YearStart(r.lat, y+1))
		if err == nil {
			r.years, r.seasons = append(r.years, y), append(r.seasons, season)
		}
	}
	return r
}

func (r *rehearsal) of(c phenology.Clock) []phenology.Sums {
	s, ok := r.sums[c]
	if !ok {
		for _, season := range r.seasons {
			s = append(s, c.Sums(season))
		}
		r.sums[c] = s
	}
	return s
}

// dates returns the model's day of first bloom in every year, counted from the
// start of the plant year; NaN where it is not reached.
func (r *rehearsal) dates(m phenology.Model) []float64 {
	out := make([]float64, len(r.years))
	for i, s := range r.of(m.Clock) {
		out[i] = math.NaN()
		if d, ok := s.Reached(m.Biofix.In(r.lat, r.years[i]), m.Onset); ok {
			out[i] = float64(d - phenology.YearStart(r.lat, r.years[i]))
		}
	}
	return out
}

// members returns what would have been forecast for year i on the day of the
// issue date: its own heat up to that day, and each other year's after it.
//
//	ahead  plant years between the issue date and the bloom in question, 0 or 1
func (r *rehearsal) members(m phenology.Model, i, ahead int, needs []phenology.DegreeDays) []float64 {
	sums, target := r.of(m.Clock), r.e.Year+ahead
	at := func(y int) (issue, biofix weather.Date) {
		return r.e.Issue.AddYears(y - target), m.Biofix.In(r.lat, y)
	}
	issue, biofix := at(r.years[i])
	have := sums[i].At(max(issue, biofix)) - sums[i].At(biofix)
	start := phenology.YearStart(r.lat, r.years[i])
	out := make([]float64, 0, len(needs)*len(r.years))
	for _, need := range needs {
		if have >= need {
			if d, ok := sums[i].Reached(biofix, need); ok {
				out = append(out, float64(d-start))
			}
			continue
		}
		for j, z := range r.years {
			if j == i {
				continue
			}
			from, begin := at(z)
			if d, ok := sums[j].Reached(max(from, begin), need-have); ok {
				out = append(out, float64(d.AddYears(r.years[i]-z)-start))
			}
		}
	}
	return out
}

// needs are the degree days of a model as a table row of some doubt may have
// them, or the one figure where its doubt is not asked for.
func needs(m phenology.Model, doubt bool) []phenology.DegreeDays {
	const values = 5
	if !doubt || m.RelativeSD == 0 {
		return []phenology.DegreeDays{m.Onset}
	}
	out := make([]phenology.DegreeDays, values)
	for i := range out {
		p := (float64(i) + 0.5) / values
		z := math.Sqrt2 * math.Erfinv(2*p-1)
		out[i] = m.Onset * phenology.DegreeDays(max(1+m.RelativeSD*z, leastScale))
	}
	return out
}

// skill scores the forecasts of all years. Where the keeper has seen the bloom
// of five or more, they are scored against that, dressed with the doubt of the
// row, and blended with the keeper's own dates as far as that has done better.
// N is 0 where two years could not be scored.
func (r *rehearsal) skill(m phenology.Model, ahead int, seen []SeenBloom) PastSkill {
	k := PastSkill{Plant: m.Plant, Share: 1}
	truth := r.dates(m)
	if own := r.seen(m.Plant, seen); known(own) >= fewToBlend {
		truth, k.Seen = own, true
	}
	need := needs(m, k.Seen)
	best := math.Inf(1)
	for b, share := range blends() {
		if b > 0 && !k.Seen {
			break
		}
		var cases []hindcast
		for i, y := range truth {
			climate := without(truth, i)
			members := mixed(r.members(m, i, ahead, need), climate, share)
			if !math.IsNaN(y) && len(members) >= 2 && len(climate) >= 2 {
				cases = append(cases, newHindcast(members, y, climate))
			}
		}
		if len(cases) < 2 {
			continue
		}
		if s := scored(cases); s.CRPS < best {
			best = s.CRPS
			s.Plant, s.Seen, s.Share = k.Plant, k.Seen, share
			k = s
		}
	}
	if k.N > 0 {
		start := phenology.YearStart(r.lat, r.e.Year+ahead)
		k.LeadDays = int(math.Round(mean(without(truth, -1)))) - int(r.e.Issue-start)
	}
	return k
}

// scored summarises cases without the doubt of the scores.
func scored(cases []hindcast) PastSkill {
	k := PastSkill{N: len(cases)}
	var middles, means, dates verify.Errors
	var misses []float64
	climate := 0.0
	for _, c := range cases {
		middles, means, dates = append(middles, c.median), append(means, c.mean), append(dates, c.meanDate)
		misses = append(misses, math.Abs(c.median))
		k.CRPS += c.crps / float64(len(cases))
		climate += c.crpsClim / float64(len(cases))
	}
	k.MAE, k.RMSE, k.Bias, k.MAEMeanDate = middles.MAE(), means.RMSE(), means.Bias(), dates.MAE()
	k.Within80, k.CRPSS = verify.Quantile(misses, promised), verify.SkillScore(k.CRPS, climate)
	return k
}

// seen returns the keeper's dates of a plant by year, as dates does.
func (r *rehearsal) seen(plant string, all []SeenBloom) []float64 {
	out := make([]float64, len(r.years))
	for i := range out {
		out[i] = math.NaN()
	}
	for _, s := range all {
		if i := slices.Index(r.years, phenology.YearOf(r.lat, s.Day)); s.Plant == plant && i >= 0 {
			out[i] = float64(s.Day - phenology.YearStart(r.lat, r.years[i]))
		}
	}
	return out
}

// without returns the known values but the one at i.
func without(x []float64, i int) []float64 {
	var out []float64
	for j, v := range x {
		if j != i && !math.IsNaN(v) {
			out = append(out, v)
		}
	}
	return out
}

func known(x []float64) int { return len(without(x, -1)) }

// What opens a flow: the plants that make a quarter or more of the nectar in
// its first week, three at the most. Our own choices.
const (
	openingDays  = 7
	openingShare = 0.25
	mostOpeners  = 3
)

// openers are the plants that open the main flow of a plant year, the one that
// gives most first.
func openers(a Apiary, t bloomTable, played []hive.Year, ahead int) []string {
	stands := a.Stands
	if a.Relative {
		stands = alike(a)
	}
	share := map[string]float64{}
	total := 0.0
	for i, y := range played {
		if !y.HasFlow {
			continue
		}
		for _, s := range stands {
			g := opening(a, t, s, flowStart{i, ahead, y.Main.Start})
			share[s.Plant] += g
			total += g
		}
	}
	var out []string
	for _, s := range stands {
		if share[s.Plant] >= openingShare*total && total > 0 && !slices.Contains(out, s.Plant) {
			out = append(out, s.Plant)
		}
	}
	slices.SortStableFunc(out, func(x, y string) int { return cmp.Compare(share[y], share[x]) })
	return out[:min(len(out), mostOpeners)]
}

// flowStart is the start of a main flow in one member.
type flowStart struct {
	member, ahead int
	day           weather.Date
}

// opening returns the sugar that a stand offers in the first week of a flow, kg.
func opening(a Apiary, t bloomTable, s flow.Stand, at flowStart) float64 {
	p := a.plant(s.Plant)
	if p < 0 || !t.blooms[p][at.member][at.ahead].ok {
		return 0
	}
	b, sum := t.blooms[p][at.member][at.ahead].bloom, 0.0
	for d := range weather.Date(openingDays) {
		sum += b.Open(at.day+d) * s.Hectares * s.PeakKgPerHaDay
	}
	return sum
}

// pastSkill adds how far off forecasts of the plants that open the next main
// flow have been, and returns those that are yet to bloom.
func (f *Forecast) pastSkill(r *rehearsal, t bloomTable, played [planYears][]hive.Year, o Options) []string {
	main, ok := f.MainFlow()
	if !ok {
		return nil
	}
	ahead := main.Year - r.e.Year
	var out []string
	for _, plant := range openers(f.Apiary, t, played[ahead], ahead) {
		p := f.Apiary.plant(plant)
		if 2*t.begun(p, ahead, f.Issue) > len(t.blooms[p]) {
			continue
		}
		out = append(out, plant)
		if slices.ContainsFunc(f.Past, func(k PastSkill) bool { return k.Plant == plant }) {
			continue
		}
		if k := r.skill(f.Apiary.Plants[p], ahead, nil); k.N > 0 {
			f.Past = append(f.Past, k)
		}
	}
	return out
}

// begun counts the members in which a plant has come into bloom before a day.
func (t bloomTable) begun(p, ahead int, day weather.Date) int {
	n := 0
	for _, y := range t.blooms[p] {
		if y[ahead].ok && y[ahead].bloom.Onset < day {
			n++
		}
	}
	return n
}
