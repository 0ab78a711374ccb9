package forecast

import (
	"hash/fnv"
	"math"
	"math/rand/v2"

	"bloomtide/forecast/verify"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// learn brings what the keeper has seen into the members: this year's first
// bloom where it was before the issue date, and, where past forecasts did no
// better than the keeper's own dates, as many of those as did best.
func (t bloomTable) learn(m phenology.Model, p int, r *rehearsal, seen []SeenBloom) (k PastSkill) {
	var past []SeenBloom
	for _, s := range seen {
		if s.Plant != m.Plant || s.Day >= r.e.Issue {
			continue
		}
		if y := phenology.YearOf(r.lat, s.Day) - r.e.Year; y == 0 {
			t.seen[p][0] = true
			for i := range t.blooms[p] {
				t.move(m, p, i, placed{0, s.Day})
			}
		}
		past = append(past, s)
	}
	if len(past) == 0 {
		return PastSkill{}
	}
	ahead := t.next(p, r.e.Issue)
	if k = r.skill(m, ahead, past); !k.Seen || k.Share == 1 || ahead == 0 && r.seenNow(past) {
		return k
	}
	t.seen[p][ahead] = k.Share == 0
	dates := without(r.seen(m.Plant, past), -1)
	start := phenology.YearStart(r.lat, r.e.Year+ahead)
	order := dealt(m.Plant, len(t.blooms[p]))
	n := int(math.Round((1 - k.Share) * float64(len(order))))
	for q, i := range order[:n] {
		day := verify.Quantile(dates, (float64(q)+0.5)/float64(n))
		t.move(m, p, i, placed{ahead, start + weather.Date(math.Round(day))})
	}
	return k
}

// seenNow reports whether the bloom of the present plant year was seen.
func (r *rehearsal) seenNow(past []SeenBloom) bool {
	for _, s := range past {
		if phenology.YearOf(r.lat, s.Day) == r.e.Year {
			return true
		}
	}
	return false
}

// placed is a first bloom by the year after the present one.
type placed struct {
	ahead int
	onset weather.Date
}

// move puts the bloom of plant p in member i on another day, whole, so that its
// stages keep their order.
func (t bloomTable) move(m phenology.Model, p, i int, to placed) {
	y := &t.blooms[p][i][to.ahead]
	if !y.ok {
		half, whole := math.Round(m.BloomDays/2), math.Round(m.BloomDays)
		y.ok = true
		y.bloom = phenology.Bloom{Plant: m.Plant, Peak: weather.Date(half), End: weather.Date(max(whole, half+1))}
	}
	by := to.onset - y.bloom.Onset
	y.bloom.Onset, y.bloom.Peak, y.bloom.End = to.onset, y.bloom.Peak+by, y.bloom.End+by
}

// dealt is an order of the members that depends on the plant's name alone.
func dealt(plant string, members int) []int {
	h := fnv.New64a()
	h.Write([]byte(plant))
	const stream = 3 // apart from that of scales
	return rand.New(rand.NewPCG(h.Sum64(), stream)).Perm(members)
}
