package colony

// State is one colony in its hive at the end of a day. Honey counts as what
// it is or will be when ripe.
type State struct {
	Open, Capped              float64 // uncapped and capped brood, cells
	House, Foragers, Winter   float64 // house bees, foragers, winter bees
	NestUnripe, NestRipe      float64 // in the brood boxes, kg honey
	SuperUnripe               float64 // in the supers, ripening, kg honey
	SuperRipe, SuperCapped    float64 // in the supers, open and capped, kg
	PollenKg                  float64 // in the brood boxes, kg
	NestDm2, SuperDm2, RawDm2 float64 // drawn comb below and above, foundation above, dm² of one face

	GainKg float64 // stored less used in the day, kg
	IdleKg float64 // within reach but without room to store, kg
	Want   float64 // eggs that season, food and nurses would allow, in the day
	Laid   float64 // eggs laid in the day
	Season float64 // share of full laying that the season allows, 0 to 1

	warmth float64 // recent flight, 0 to 1
}

// Adults returns the bees on the combs and out in the field.
func (s State) Adults() float64 { return s.House + s.Foragers + s.Winter }

// Brood returns brood of all ages, cells.
func (s State) Brood() float64 { return s.Open + s.Capped }

// NestKg returns the honey in the brood boxes, kg.
func (s State) NestKg() float64 { return s.NestUnripe + s.NestRipe }

// SuperKg returns the honey in the supers, kg.
func (s State) SuperKg() float64 { return s.SuperUnripe + s.SuperRipe + s.SuperCapped }

// StoresKg returns all honey in the hive, kg.
func (s State) StoresKg() float64 { return s.NestKg() + s.SuperKg() }

// CappedShare returns the share of the supers' honey that is capped, 0 to 1; 0
// for none.
func (s State) CappedShare() float64 {
	if kg := s.SuperKg(); kg > 0 {
		return s.SuperCapped / kg
	}
	return 0
}

// spreadDm2 returns the comb that a kilogram of ripening honey is spread over
// where there is room, and the least it can be squeezed into, dm².
func (t Tuning) spreadDm2() (easy, least float64) {
	least = t.UnripeVolume / t.HoneyKgPerDm2
	return least / t.UnripeFill, least
}

// Use is how the comb of a hive, or of one box, is taken up, dm².
type Use struct {
	Honey, Unripe, Pollen, Brood, Empty float64
}

// NestUse returns the comb of the brood boxes. Nectar spreads thinly while
// there is room.
//
//	cells  worker cells on a square decimetre of comb
func (s State) NestUse(t Tuning, cells float64) Use {
	u := Use{Honey: s.NestRipe / t.HoneyKgPerDm2, Pollen: s.PollenKg / t.PollenKgPerDm2, Brood: s.Brood() / cells}
	easy, _ := t.spreadDm2()
	left := max(s.NestDm2-u.Honey-u.Pollen-u.Brood, 0)
	u.Unripe = min(s.NestUnripe*easy, left)
	u.Empty = left - u.Unripe
	return u
}

// SuperUse returns the drawn comb of the supers.
func (s State) SuperUse(t Tuning) Use {
	u := Use{Honey: (s.SuperRipe + s.SuperCapped) / t.HoneyKgPerDm2}
	easy, _ := t.spreadDm2()
	left := max(s.SuperDm2-u.Honey, 0)
	u.Unripe = min(s.SuperUnripe*easy, left)
	u.Empty = left - u.Unripe
	return u
}

// Score is congestion in its four parts, each 0 to 1.
type Score struct {
	Bound float64 // honey and nectar in the brood nest
	Cells float64 // empty cells missing for the queen
	Crowd float64 // bees on the combs
	Room  float64 // supers full in a flow
}

// Congestion returns the parts of congestion. Out of the laying season only
// Bound has a meaning.
func (s State) Congestion(t Tuning, cells float64) Score {
	nest := s.NestUse(t, cells)
	out := Score{
		Bound: clamp01(((nest.Honey+nest.Unripe)/max(s.NestDm2, 1e-9) - t.BoundFrom) / (t.BoundTo - t.BoundFrom)),
		Crowd: clamp01((s.Adults()/(t.BeesPerDm2*max(s.NestDm2+s.SuperDm2+s.RawDm2, 1e-9)) - t.CrowdFrom) / (t.CrowdTo - t.CrowdFrom)),
	}
	if s.Want > 0 {
		out.Cells = 1 - clamp01(nest.Empty*cells/(s.Want*t.LayingRoomDays))
	}
	if s.SuperDm2 > 0 && s.GainKg >= t.RoomKg {
		if use := s.SuperUse(t); use.Honey+use.Unripe >= t.FullShare*s.SuperDm2 {
			out.Room = 1
		}
	}
	return out
}

// Worst returns the weightiest part of a score, 0 to 1.
func (c Score) Worst(t Tuning) float64 {
	return max(t.WeightBound*c.Bound, t.WeightCells*c.Cells, t.WeightCrowd*c.Crowd, t.WeightRoom*c.Room)
}
