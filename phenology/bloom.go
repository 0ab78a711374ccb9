package phenology

import "bloomtide/ingest/weather"

// Bloom is the flowering of one stand in one year.
type Bloom struct {
	Plant            string
	Onset, Peak, End weather.Date // first, full and end of bloom, in this order
}

// Open returns the share of the stand's greatest number of open flowers that
// is open on a day, 0 to 1: a triangle that rises from 0 at onset to 1 at the
// peak and falls to 0 at the end, so that the days add up to half the length
// of bloom.
//
// The triangle is that of Baude, Kunin and Memmott 2015.
func (b Bloom) Open(d weather.Date) float64 {
	switch {
	case d < b.Onset || d > b.End:
		return 0
	case d == b.Peak:
		return 1
	case d < b.Peak:
		return float64(d-b.Onset) / float64(b.Peak-b.Onset)
	default:
		return float64(b.End-d) / float64(b.End-b.Peak)
	}
}
