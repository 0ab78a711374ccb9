package phenology

import (
	"math"

	"bloomtide/ingest/weather"
)

// Status says how far a row of the forage table can be believed.
type Status string

// The statuses, most believable first.
const (
	Published       Status = "published"        // read in the source named
	Fitted          Status = "own fit"          // fitted here to open records or to the keeper's own
	FromMemory      Status = "from memory"      // recalled, not checked against the source
	UnverifiedPrior Status = "unverified prior" // an estimate by order of bloom, no source
)

// Model predicts the bloom of one plant by thermal time, by days after another
// plant, or by a fixed date.
type Model struct {
	Plant  string // name as keepers say it
	Taxon  string // scientific name
	Biofix Biofix
	Clock  Clock

	Onset DegreeDays // first bloom, °C·d after the biofix
	Peak  DegreeDays // full bloom; 0: not known, taken as half way through BloomDays
	End   DegreeDays // end of bloom; 0: not known, BloomDays after onset

	// AfterDays comes after the degree days of Onset: an interval from another
	// plant whose degree days they are, or, where Onset is 0, from the biofix, so
	// that the date is the same every year.
	AfterDays float64

	BloomDays  float64 // length of bloom at one site, days
	RelativeSD float64 // standard deviation of the degree days over places, as a share of them

	Status Status
	Source string
}

// Scaled returns the model with all its degree days multiplied by f, to stand
// for a place where the plant needs more or less heat than the table says; a
// number of days is multiplied alike. Stages keep their order.
func (m Model) Scaled(f float64) Model {
	m.Onset *= DegreeDays(f)
	m.Peak *= DegreeDays(f)
	m.End *= DegreeDays(f)
	m.AfterDays *= f
	return m
}

// Predict returns the bloom in plant year y. ok is false when the season, or
// the year up to the next biofix, ends before first bloom: what a cold summer
// leaves short, the next one does not make up. Full or end of bloom that heat
// does not reach in the year follow from BloomDays. Sums must come from the
// model's own Clock.
func (m Model) Predict(s Sums, y int) (b Bloom, ok bool) {
	return m.in(m.Biofix.span(s.latDeg, y), s)
}

// in is Predict for a plant year.
func (m *Model) in(year span, s Sums) (b Bloom, ok bool) {
	biofix, next := year.from, year.to
	if biofix < s.start || !year.lit {
		return Bloom{}, false
	}
	onset, ok := s.reachedBefore(biofix, next, m.Onset)
	if onset += dateOf(int(math.Round(m.AfterDays))); !ok || onset >= min(next, s.end()) {
		return Bloom{}, false
	}
	half, whole := math.Round(m.BloomDays/2), math.Round(m.BloomDays)
	b = Bloom{Plant: m.Plant, Onset: onset, Peak: onset + weather.Date(half), End: onset + weather.Date(whole)}
	if m.Peak > m.Onset {
		if peak, ok := s.reachedBefore(biofix, next, m.Peak); ok {
			b.Peak = peak
			b.End = max(b.End, b.Peak+1)
		}
	}
	if m.End > max(m.Peak, m.Onset) {
		if end, ok := s.reachedBefore(biofix, next, m.End); ok {
			b.End = end
			b.Peak = min(b.Peak, end)
		}
	}
	b.End = max(b.End, b.Peak+1)
	return b, true
}
