package colony

import "math"

// Khoury2011 is the published model of house bees and foragers without food
// or season: the yardstick against which our own step is checked.
//
//	dH/dt = L (H+F)/(w+H+F) − H R,   R = a − s F/(H+F)
//	dF/dt = H R − m F
//
// Khoury, Myerscough and Barron 2011, eq. 1 to 4.
type Khoury2011 struct {
	L float64 // eggs laid, 1/d
	W float64 // bees at which half of them are reared
	A float64 // recruitment without foragers, 1/d
	S float64 // inhibition by foragers, 1/d
	M float64 // loss of foragers, 1/d
}

// Step returns house bees and foragers a day later, by Euler's rule.
func (k Khoury2011) Step(h, f float64) (float64, float64) {
	n := h + f
	recruits := h * (k.A - k.S*f/n)
	return h + k.L*n/(k.W+n) - recruits, f + recruits - k.M*f
}

// Equilibrium returns the ratio of foragers to house bees and the number of
// adults to which the colony settles; a number of 0 or below means collapse.
func (k Khoury2011) Equilibrium() (ratio, adults float64) {
	b := k.M - k.A + k.S
	ratio = (-b + math.Sqrt(b*b+4*k.M*k.A)) / (2 * k.M)
	return ratio, k.L*(1+ratio)/(k.M*ratio) - k.W
}

// Collapse returns the loss of foragers, 1/d, above which no colony lasts, to
// a millionth: where the adults of Equilibrium reach 0.
func (k Khoury2011) Collapse() float64 {
	lo, hi := 1e-3, 1.0
	for range 30 {
		k.M = (lo + hi) / 2
		if _, n := k.Equilibrium(); n > 0 {
			lo = k.M
		} else {
			hi = k.M
		}
	}
	return lo
}

// Khoury2013 is the published model with food, without the delay of capped
// brood: the yardstick of our own step.
type Khoury2013 struct {
	Tuning Tuning  // LayPerDay, OpenDays, NurseHalf, FoodHalfKg, recruitment, AdultG, BroodG
	M      float64 // loss of foragers, 1/d
	C      float64 // food that a forager brings, g/d
}

// Step returns uncapped brood, house bees, foragers and food in g a day later,
// by Euler's rule.
func (k Khoury2013) Step(b, h, f, food float64) (float64, float64, float64, float64) {
	t := &k.Tuning
	reared := rearing(t, h, food/1000)
	recruits := h * recruitment(t, h, f, food/1000)
	emerge := b / t.OpenDays
	return b + t.LayPerDay*reared - emerge, h + emerge - recruits, f + recruits - k.M*f,
		food + k.C*f - t.AdultG*(f+h) - t.BroodG*b
}

// rearing returns the share of eggs that are reared, 0 to 1: S of Khoury et
// al. 2013.
func rearing(t *Tuning, house, foodKg float64) float64 {
	half := t.FoodHalfKg * t.FoodHalfKg
	return foodKg * foodKg / (foodKg*foodKg + half) * house / (house + t.NurseHalf)
}

// recruitment returns the share of house bees that turn to gathering, 1/d;
// below 0 foragers turn back. R of Khoury et al. 2013.
func recruitment(t *Tuning, house, foragers, foodKg float64) float64 {
	half := t.FoodHalfKg * t.FoodHalfKg
	r := t.RecruitMin + t.RecruitHungry*half/(half+foodKg*foodKg)
	if n := house + foragers; n > 0 {
		r -= t.Inhibition * foragers / n
	}
	return r
}

// EggsPerDay returns the steady laying behind so many capped cells, eggs a
// day: worker brood is capped for 12 days (a queen breeders' sheet, read).
func EggsPerDay(cappedCells float64) float64 { return cappedCells / cappedDays }

// BroodCells returns the cells that steady laying keeps in use: worker brood
// takes 21 days from egg to bee.
func BroodCells(eggsPerDay float64) float64 { return eggsPerDay * layToEmerge }

// IntakeKg returns the nectar that foragers bring in a day, kg.
//
//	trips   of one forager in a day
//	loadMg  nectar of one trip, mg
func IntakeKg(foragers, trips, loadMg float64) float64 { return foragers * trips * loadMg / mgPerKg }

// BackfillCells returns the worker cells of 5.4 mm that honey fills, both
// faces: 792 on a square decimetre that holds 0.30 kg.
func BackfillCells(kg float64) float64 { return kg * 792 / 0.30 }
