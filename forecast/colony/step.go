package colony

import "bloomtide/forecast/honey"

// rates are the changes of one day, all from the state of the day before.
type rates struct {
	// Bees.
	laid, want, sealed, emerged, toWinter float64
	recruits, woke                        float64
	lostHouse, lostForagers, lostWinter   float64
	starvedOpen                           float64
	// Honey, kg.
	up, below, idle, wax           float64
	ripenNest, ripenSuper, capping float64
	moveUnripe, moveRipe           float64
	eaten                          meal
	pollenIn, pollenEaten          float64
	drawn                          float64 // dm²
}

// meal is where the day's honey comes from, kg.
type meal struct {
	fresh, nestRipe, nestUnripe, superRipe, superUnripe, superCapped float64
	hungry                                                           float64 // share of the need not met, 0 to 1
}

func (m meal) total() float64 {
	return m.fresh + m.nestRipe + m.nestUnripe + m.superRipe + m.superUnripe + m.superCapped
}

// What hunger does in a day to those who get nothing. Our own choices: brood
// is given up first.
const (
	starvedAdults = 0.1
	starvedBrood  = 0.3
	warmthMemory  = 0.8 // of yesterday's warmth in today's
	broodyShare   = 0.3 // brood to an adult at which the nest is kept fully warm
	revertShare   = 0.5 // of the foragers that turn back in a day at the most
	mgPerKg       = 1e6
	gPerKg        = 1e3
)

// rates works out the day's changes.
func (l *Life) rates(r *rates, i int) {
	*r = rates{}
	l.comb(r, i)
	l.ripening(r)
	l.eating(r)
	l.brood(r, i)
	l.bees(r, i)
	l.pollen(r, i)
}

// need returns the honey that the colony uses in a day, kg.
func (l *Life) need() float64 {
	t, n := &l.tuning, l.Adults()
	if n <= 0 {
		return 0
	}
	busy := max(l.warmth, clamp01(l.Brood()/(broodyShare*n)))
	return ((t.ClusterG+(t.AdultG-t.ClusterG)*busy)*n + t.BroodG*l.Open) / gPerKg
}

// comb decides how much nectar is stored and where, and how many eggs find an
// empty cell.
func (l *Life) comb(r *rates, i int) {
	t := &l.tuning
	easy, least := l.easy, l.least
	gatherers := min(max(l.Foragers, t.Gathering*(l.Foragers+l.House)), l.most)
	capacity := gatherers * l.perForager * l.world.forage[i]
	fetched := t.Handling * min(l.world.share[i], capacity)
	superLeft := max(l.SuperDm2-(l.SuperRipe+l.SuperCapped)/t.HoneyKgPerDm2, 0)
	roomEasy := max(superLeft/easy-l.SuperUnripe, 0)
	roomLeast := max(superLeft/least-l.SuperUnripe, 0)
	nestLeft := max(l.NestDm2-l.NestRipe/t.HoneyKgPerDm2-l.Brood()/l.cells-l.PollenKg/t.PollenKgPerDm2, 0)
	nestFree := max(nestLeft-l.NestUnripe*least, 0) // dm², nectar squeezed
	nestOpen := max(nestLeft-l.NestUnripe*easy, 0)  // dm², nectar spread

	upward := t.UpShare
	if l.NestKg() < l.archKg() {
		upward = min(upward, 1-t.ArchShare)
	}
	r.up = min(upward*fetched, roomEasy)
	if rest := upward*fetched - r.up; rest > 0 {
		r.up += min(t.SqueezeShare*rest, roomLeast-r.up)
	}
	r.below = fetched - r.up
	r.want = t.LayPerDay * l.world.clock.lay[i] * rearing(t, l.House+l.Winter, l.StoresKg())
	r.laid = min(r.want, nestOpen*l.cells)
	if asked := r.laid/l.cells + r.below*least; asked > nestFree {
		cut := nestFree / asked // queen and nectar compete for the same cells
		r.laid *= cut
		over := r.below * (1 - cut)
		r.below -= over
		squeezed := min(over, roomLeast-r.up) // the supers fill to the brim first
		r.up += squeezed
		r.idle = over - squeezed
	}
	l.moves(r, roomEasy, easy)
	l.draw(r)
}

// archKg returns the honey that bees keep below and fill up first, kg.
func (l *Life) archKg() float64 {
	t := &l.tuning
	return t.ArchKg + t.UpperShare*t.HoneyKgPerDm2*max(l.NestDm2-t.BroodRoomDm2, 0)
}

// moves carries nectar and honey up out of a full brood nest.
func (l *Life) moves(r *rates, roomEasy, easy float64) {
	t := &l.tuning
	room := max(roomEasy-r.up, 0)
	r.moveUnripe = min(t.MoveUnripe*l.NestUnripe, room)
	if r.laid < r.want {
		r.moveRipe = min(t.MoveRipe*l.NestRipe, (room-r.moveUnripe)*easy*t.HoneyKgPerDm2)
	}
}

// draw turns foundation into comb while nectar comes in.
func (l *Life) draw(r *rates) {
	t := &l.tuning
	fresh := r.up + r.below
	if l.RawDm2 <= 0 || fresh <= 0 {
		return
	}
	r.drawn = min(l.RawDm2, t.DrawDm2PerKg*fresh, fresh/t.WaxKgPerDm2)
	r.wax = r.drawn * t.WaxKgPerDm2
	fromUp := min(r.up, r.wax)
	r.up -= fromUp
	r.below -= min(r.below, r.wax-fromUp)
}

// ripe returns the share of unripe honey that ripens in the day, by the
// dryness of the air and the nectar that comes in, kg.
func (l *Life) ripe(fresh float64) float64 {
	t := &l.tuning
	k := l.dry / t.UnripeDays
	if fresh > t.StrongKgPerDay {
		k *= t.StrongKgPerDay / fresh
	}
	return min(k, 1)
}

func (l *Life) ripening(r *rates) {
	k := l.ripe(r.up + r.below)
	r.ripenNest = k * l.NestUnripe
	r.moveUnripe = min(r.moveUnripe, l.NestUnripe-r.ripenNest)
	r.ripenSuper = k * l.SuperUnripe
	r.capping = min(l.dry/l.tuning.CapDays, 1) * l.SuperRipe
}

// eating takes the day's honey from what comes in, then from the brood nest
// down to its arch, then from above, open before capped, and the arch last.
func (l *Life) eating(r *rates) {
	need := l.need()
	left := need
	m := &r.eaten
	left, m.fresh = take(left, r.up+r.below)
	ripe, unripe := l.NestRipe-r.moveRipe, l.NestUnripe-r.ripenNest-r.moveUnripe
	spare := max(ripe+unripe-l.archKg(), 0)
	left, m.nestRipe = take(left, min(spare, ripe))
	left, m.nestUnripe = take(left, min(spare-m.nestRipe, unripe))
	left, m.superRipe = take(left, l.SuperRipe-r.capping)
	left, m.superUnripe = take(left, l.SuperUnripe-r.ripenSuper)
	left, m.superCapped = take(left, l.SuperCapped)
	if left > 0 {
		var kg float64
		left, kg = take(left, ripe-m.nestRipe)
		m.nestRipe += kg
		left, kg = take(left, unripe-m.nestUnripe)
		m.nestUnripe += kg
	}
	if need > 0 {
		m.hungry = left / need
	}
}

// take returns what is still wanted and what was had from a store, kg.
func take(wanted, store float64) (left, had float64) {
	had = min(wanted, max(store, 0))
	return wanted - had, had
}

func (l *Life) brood(r *rates, i int) {
	t := &l.tuning
	r.sealed = l.Open / t.OpenDays
	r.starvedOpen = (l.Open - r.sealed) * starvedBrood * r.eaten.hungry
	r.emerged = l.capped[l.at]
	r.toWinter = r.emerged * l.world.clock.wintering[i]
}

// bees is Khoury's recruitment and loss, slowed where no bee flies.
func (l *Life) bees(r *rates, i int) {
	t := &l.tuning
	starved := starvedAdults * r.eaten.hungry
	// Summer bees do not outlive the autumn, nor, where there is none, a long
	// time without flight.
	aged := t.AutumnLoss * max(l.world.clock.wintering[i], l.world.clock.endless[i]*(1-l.warmth))
	calm := min(max(t.ClusterLoss, aged)+starved, 1)
	loss := min(max(t.ClusterLoss+(t.SummerLoss-t.ClusterLoss)*l.warmth, aged)+starved, 1)
	old := min(t.WinterLoss+starved, 1)
	r.lostHouse, r.lostForagers, r.lostWinter = calm*l.House, loss*l.Foragers, old*l.Winter
	share := recruitment(t, l.House, l.Foragers, l.StoresKg()) * l.warmth
	r.recruits = min(share, 1-calm) * l.House
	r.recruits = max(r.recruits, -min(revertShare, 1-loss)*l.Foragers)
	r.woke = min(l.world.clock.waking[i]*l.warmth/t.WakeDays, 1-old) * l.Winter
}

// pollen is fetched up to a few days' use and eaten by brood.
func (l *Life) pollen(r *rates, i int) {
	t := &l.tuning
	use := l.Open * t.PollenPerBeeG / t.OpenDays / gPerKg
	r.pollenEaten = min(use, l.PollenKg)
	free := l.NestDm2 - l.NestRipe/t.HoneyKgPerDm2 - l.Brood()/l.cells - l.PollenKg/t.PollenKgPerDm2 -
		l.NestUnripe*l.least - r.laid/l.cells - r.below*l.least
	r.pollenIn = min(l.Foragers*t.PollenG/gPerKg*l.world.forage[i],
		max(use*t.PollenDays-l.PollenKg, 0), max(free, 0)*t.PollenKgPerDm2)
}

// integrate makes the new state of the rates.
func (l *Life) integrate(r *rates, i int) {
	s, e := &l.State, &r.eaten
	s.Open += r.laid - r.sealed - r.starvedOpen
	l.capped[l.at] = r.sealed
	l.at = (l.at + 1) % len(l.capped)
	s.Capped = 0
	for _, c := range l.capped {
		s.Capped += c
	}
	s.House += r.emerged - r.toWinter - r.recruits + r.woke - r.lostHouse
	s.Foragers += r.recruits - r.lostForagers
	s.Winter += r.toWinter - r.woke - r.lostWinter

	freshUp := 0.0 // eaten of what goes up, in proportion
	if stored := r.up + r.below; stored > 0 {
		freshUp = e.fresh * r.up / stored
	}
	s.NestUnripe += r.below - (e.fresh - freshUp) - r.ripenNest - r.moveUnripe - e.nestUnripe
	s.NestRipe += r.ripenNest - r.moveRipe - e.nestRipe
	s.SuperUnripe += r.up - freshUp + r.moveUnripe - r.ripenSuper - e.superUnripe
	s.SuperRipe += r.ripenSuper + r.moveRipe - r.capping - e.superRipe
	s.SuperCapped += r.capping - e.superCapped
	s.PollenKg += r.pollenIn - r.pollenEaten
	s.RawDm2 -= r.drawn
	s.SuperDm2 += r.drawn
	l.snap()

	s.GainKg = r.up + r.below - e.total()
	s.IdleKg, s.Want, s.Laid, s.Season = r.idle, r.want, r.laid, l.world.clock.lay[i]
	s.warmth = warmthMemory*s.warmth + (1-warmthMemory)*l.world.flight[i]
	l.Ledger.note(r)
}

// snap clears what rounding leaves below zero.
func (l *Life) snap() {
	s := &l.State
	for _, x := range [...]*float64{
		&s.Open, &s.House, &s.Foragers, &s.Winter, &s.NestUnripe, &s.NestRipe,
		&s.SuperUnripe, &s.SuperRipe, &s.SuperCapped, &s.PollenKg, &s.RawDm2,
	} {
		if *x < 0 {
			*x = 0
		}
	}
}

// perForager returns what a forager brings home on a perfect day, kg honey.
func perForager(t Tuning) float64 {
	return honey.FromNectar(IntakeKg(1, t.Trips, t.LoadMg), t.NectarSugar, honey.Water)
}
