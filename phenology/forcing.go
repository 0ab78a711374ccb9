package phenology

import "math"

// Sigmoid returns the forcing of a day, 0 to 1: half of it at mid, and steeper
// the further slope lies below 0.
//
//	t      mean temperature of the day, °C
//	slope  b, 1/K, below 0
//	mid    c, °C
//
//	1 / (1 + exp(b (T−c)))
//
// Chuine 2000 (UniForc).
func Sigmoid(t, slope, mid float64) float64 { return 1 / (1 + math.Exp(slope*(t-mid))) }

// Arrhenius returns the days at the standard temperature that a day is worth.
//
//	t         mean temperature of the day, °C
//	energy    Ea, kcal/mol; 17 for Yoshino cherry
//	standard  Ts, °C; 25
//
//	exp[Ea (T−Ts) / (R T Ts)], kelvin, R = 1.987204e−3 kcal/(mol K)
//
// Omoto and Aono 1989 (DTS, read second-hand).
func Arrhenius(t, energy, standard float64) float64 {
	const zero, gas = 273.15, 1.987204e-3 // K, kcal/(mol K)
	k, s := t+zero, standard+zero
	return math.Exp(energy * (k - s) / (gas * k * s))
}

// WangEngel returns the response of a day, 0 to 1: none at or below the least
// and at or above the greatest temperature, full at the best.
//
//	t                      mean temperature of the day, °C
//	least, best, greatest  °C, rising
//
//	a = ln 2 / ln((Tx−Tn)/(To−Tn))
//	[2 (T−Tn)^a (To−Tn)^a − (T−Tn)^2a] / (To−Tn)^2a
//
// Wang and Engel 1998 (from memory).
func WangEngel(t, least, best, greatest float64) float64 {
	if t <= least || t >= greatest {
		return 0
	}
	a := math.Ln2 / math.Log((greatest-least)/(best-least))
	x, o := math.Pow(t-least, a), math.Pow(best-least, a)
	return max(0, (2*x*o-x*x)/(o*o))
}

// Photothermal returns a day's heat weighted by its light.
//
//	heat      degree days of the day, °C·d
//	light     daylength, h
//	exponent  k, 0: light does not matter
//
//	heat · (D/10)^k
//
// Blümel and Chmielewski 2012 (the divisor from memory; it only rescales the
// sum).
func Photothermal(heat, light, exponent float64) float64 {
	const ref = 10 // h
	return heat * math.Pow(light/ref, exponent)
}

// ShortDay returns the share of its heat that a plant of short days uses: 0 at
// or above the longest light at which it develops, 1 at or below the light at
// which nothing holds it back.
//
//	light, longest, free  daylength, h; free below longest
//
// A straight line between, as PHENOLOGY section 2.2 gives it; our own choice.
func ShortDay(light, longest, free float64) float64 {
	return min(max((longest-light)/(longest-free), 0), 1)
}

// Competence returns the share of heat that counts while chill is not yet
// enough (parallel model).
//
//	chill, need  chill so far and what is needed, same unit; need above 0
//	least        share that counts without any chill, 0 to 1
//
//	min(1, km + (1−km) C/C*)
//
// Landsberg 1974 and Kramer 1994 (from memory).
func Competence(chill, need, least float64) float64 {
	return min(1, least+(1-least)*chill/need)
}

// AlternatingNeed returns the heat that bloom needs after a number of chill
// days: more chill, less heat.
//
//	chillDays  days below the chill threshold so far
//	a, b       °C·d; c per day, below 0
//
//	a + b exp(c NCD)
//
// Cannell and Smith 1983; a −68, b 638, c −0.01 for leaves of broadleaved trees
// in Botta et al. 2000 (from memory).
func AlternatingNeed(chillDays, a, b, c float64) float64 { return a + b*math.Exp(c*chillDays) }

// UnifiedChill returns the chilling of a day by the unified model, 0 to 1.
//
//	t        mean temperature of the day, °C
//	a, b, c  1/K², 1/K, °C
//
//	1 / (1 + exp(a (T−c)² + b (T−c)))
//
// Chuine 2000 (UniChill).
func UnifiedChill(t, a, b, c float64) float64 {
	return 1 / (1 + math.Exp(a*(t-c)*(t-c)+b*(t-c)))
}
