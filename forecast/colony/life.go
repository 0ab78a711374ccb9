package colony

import "math"

// cappedDays are the days that worker brood is capped: emergence 21 days after
// the egg, capping on day 9 (Khoury et al. 2013; a queen breeders' sheet, read).
const cappedDays = 12

// Hive is what a colony is housed in.
type Hive struct {
	NestDm2      float64 // drawn comb of the brood boxes, dm² of one face
	CellsPerDm2  float64 // worker cells that can be used on a square decimetre, both faces
	MostForagers float64 // bees that gather on one day at the most; 0: no limit
}

// Life is a colony on its way through a World.
type Life struct {
	State
	Ledger Ledger

	world       *World
	tuning      Tuning
	cells       float64
	capped      [cappedDays]float64 // brood capped on each of the last days
	at          int                 // the oldest of them
	easy, least float64             // dm² for a kilogram of ripening honey
	perForager  float64             // kg honey on a perfect day
	dry         float64             // today's speed of ripening
	today       rates
	most        float64 // bees that gather on one day at the most
}

// NewLife returns a sound colony at mid-winter in a hive without supers.
func NewLife(w *World, h Hive) *Life {
	t := w.tuning
	l := &Life{world: w, tuning: t, cells: h.CellsPerDm2, perForager: perForager(t), most: h.MostForagers}
	if l.most == 0 {
		l.most = math.Inf(1)
	}
	l.easy, l.least = t.spreadDm2()
	l.NestDm2, l.Winter = h.NestDm2, t.StartBees
	l.NestRipe = min(t.StartKg, h.NestDm2*t.HoneyKgPerDm2)
	l.Ledger.startBees, l.Ledger.startKg = l.Adults(), l.NestRipe
	return l
}

// Step lives through day i of the world.
func (l *Life) Step(i int) {
	l.dry = l.world.dry[i]
	l.rates(&l.today, i)
	l.integrate(&l.today, i)
}

// Cells returns the worker cells that can be used on a square decimetre.
func (l *Life) Cells() float64 { return l.cells }

// Ledger is the account of every bee and every gram since the start.
type Ledger struct {
	Laid, DeadBrood, DeadAdults float64 // eggs and bees
	AddedBees, AddedBrood       float64 // by the keeper; below 0: taken
	StoredKg, IdleKg            float64 // fetched and stored; fetched in vain
	EatenKg, WaxKg              float64
	FedKg, TakenKg              float64 // by the keeper
	PollenInKg, PollenEatenKg   float64

	startBees, startKg float64
}

func (a *Ledger) note(r *rates) {
	a.Laid += r.laid
	a.DeadBrood += r.starvedOpen
	a.DeadAdults += r.lostHouse + r.lostForagers + r.lostWinter
	a.StoredKg += r.up + r.below + r.wax
	a.IdleKg += r.idle
	a.EatenKg += r.eaten.total()
	a.WaxKg += r.wax
	a.PollenInKg += r.pollenIn
	a.PollenEatenKg += r.pollenEaten
}

// Imbalance returns what the account cannot explain: bees and brood, honey in
// kg, pollen in kg. All are 0 but for rounding.
func (l *Life) Imbalance() (bees, honeyKg, pollenKg float64) {
	a := l.Ledger
	bees = a.startBees + a.Laid + a.AddedBees + a.AddedBrood - a.DeadBrood - a.DeadAdults - l.Adults() - l.Brood()
	honeyKg = a.startKg + a.StoredKg + a.FedKg - a.EatenKg - a.WaxKg - a.TakenKg - l.StoresKg()
	pollenKg = a.PollenInKg - a.PollenEatenKg - l.PollenKg
	return bees, honeyKg, pollenKg
}
