package areal

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bloomtide/ingest/county"
	"bloomtide/ingest/weather"
)

// station is a record with what it usually shows against the reference.
type station struct {
	series weather.Series
	days   int     // usable days
	usual  [2]wave // minimum and maximum less those of the reference, K
}

func newStation(s weather.Series) *station {
	return &station{series: s, days: s.Usable(s.Start, s.End())}
}

// season is the time of the year as a point on a circle.
type season struct{ sin, cos float64 }

func seasonOf(d weather.Date) season {
	const yearDays = 365.2425
	sin, cos := math.Sincos(2 * math.Pi * float64(d) / yearDays)
	return season{sin, cos}
}

// wave is a yearly course: a mean and one wave, K.
type wave struct{ mean, sin, cos float64 }

func (w wave) at(s season) float64 { return w.mean + w.sin*s.sin + w.cos*s.cos }

func (w wave) plus(o wave, times float64) wave {
	return wave{w.mean + times*o.mean, w.sin + times*o.sin, w.cos + times*o.cos}
}

// align takes the station with most weight, years included, as reference and
// finds what the others usually show against it. Stations without a year in
// common with it are left out and named.
func align(place []county.Sample, all []*station) (out []*station, notes []string) {
	w := weights(place, all)
	ref := 0
	for i := range all {
		if w[i] > w[ref] {
			ref = i
		}
	}
	for i, s := range all {
		ok := true
		for e := range s.usual {
			if i != ref {
				var fits bool
				s.usual[e], fits = against(s.series, all[ref].series, e)
				ok = ok && fits
			}
		}
		if !ok {
			notes = append(notes, fmt.Sprintf("station %s is left out: it has less than a year of days in common with %s",
				s.series.Site.ID, all[ref].series.Site.ID))
			continue
		}
		out = append(out, s)
	}
	return out, notes
}

// against fits a yearly wave to the difference of two records.
func against(s, ref weather.Series, e int) (wave, bool) {
	from, to := max(s.Start, ref.Start), min(s.End(), ref.End())
	var xx [3][3]float64
	var xy [3]float64
	n := 0
	for d := from; d < to; d++ {
		a, fa := extreme(s.At(d), e)
		b, fb := extreme(ref.At(d), e)
		if !fa.Usable() || !fb.Usable() {
			continue
		}
		at := seasonOf(d)
		x := [3]float64{1, at.sin, at.cos}
		for i := range x {
			for j := range x {
				xx[i][j] += x[i] * x[j]
			}
			xy[i] += x[i] * float64(a-b)
		}
		n++
	}
	if n < fewestDays {
		return wave{}, false
	}
	b, ok := solve3(xx, xy)
	return wave{b[0], b[1], b[2]}, ok
}

// solve3 solves three equations by Cramer's rule.
func solve3(a [3][3]float64, y [3]float64) (x [3]float64, ok bool) {
	det := func(m [3][3]float64) float64 {
		return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) -
			m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) +
			m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	}
	whole := det(a)
	if math.Abs(whole) < 1e-9 {
		return x, false
	}
	for i := range x {
		m := a
		for j := range y {
			m[j][i] = y[j]
		}
		x[i] = det(m) / whole
	}
	return x, true
}

// Lapse is the fall of temperature with height.
type Lapse struct {
	KPerKm float64
	Fitted bool // to the stations, else the standard atmosphere's or as told
}

// standardLapse is that of the troposphere in the International Standard
// Atmosphere (ISO 2533, US Standard Atmosphere 1976), K/km.
const standardLapse = 6.5

// A lapse rate is fitted where enough stations lie far enough apart in height,
// and is believed between an even temperature and the dry adiabatic 9.8 K/km.
// The first two are our own choices.
const (
	fewestForLapse = 6
	leastSpreadM   = 300
	steepest       = 9.8
)

// lapse fits the fall of an extreme with height to what stations usually show.
func lapse(stations []*station, e int, told float64) Lapse {
	if told != 0 {
		return Lapse{KPerKm: told}
	}
	var n, z, t, zz, zt float64
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range stations {
		h := s.series.Site.ElevM
		if math.IsNaN(h) {
			continue
		}
		low, high = min(low, h), max(high, h)
		n++
		z += h
		t += s.usual[e].mean
		zz += h * h
		zt += h * s.usual[e].mean
	}
	if n < fewestForLapse || high-low < leastSpreadM {
		return Lapse{KPerKm: standardLapse}
	}
	const mPerKm = 1000
	fall := -(zt - z*t/n) / (zz - z*z/n) * mPerKm
	if fall < 0 || fall > steepest {
		return Lapse{KPerKm: standardLapse}
	}
	return Lapse{KPerKm: fall, Fitted: true}
}

// usual returns what a spot usually shows against the reference: the weighed
// mean of its stations, each moved to the spot's height.
func usual(at spot, stations []*station, l Lapse, e int) (out wave) {
	height := heightM(at.place)
	for i, s := range stations {
		moved := s.usual[e]
		if rise := s.series.Site.ElevM - height; !math.IsNaN(rise) {
			moved.mean += l.KPerKm * rise / 1000
		}
		out = out.plus(moved, at.weights[i])
	}
	return out
}

// sources lists the stations, the heaviest first.
func sources(site weather.Site, stations []*station, w []float64) []Source {
	out := make([]Source, len(stations))
	for i, s := range stations {
		out[i] = Source{
			Site: s.series.Site, Km: Km(site.Point, s.series.Site.Point),
			RiseM: s.series.Site.ElevM - site.ElevM, Share: w[i], Days: s.days,
		}
	}
	slices.SortStableFunc(out, func(a, b Source) int { return cmp.Compare(b.Share, a.Share) })
	return out
}
