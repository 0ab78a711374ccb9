package honey

// Water is the water in ripe honey that the plan reckons with, share of
// mass (common practice, no source).
const Water = 0.18

// NectarSugar is the sugar in nectar as it arrives, share of mass. Published
// loads run from 0.2 to 0.6; the middle is our choice.
const NectarSugar = 0.40

// FromNectar returns the honey that nectar ripens to, kg.
//
//	nectarKg  nectar, kg
//	sugar     sugar in the nectar, share of mass, 0 to 1
//	water     water in the honey, share of mass, below 1
//
// A balance of the sugar: honey = nectar × sugar / (1 − water).
func FromNectar(nectarKg, sugar, water float64) float64 {
	return nectarKg * sugar / (1 - water)
}

// FromSugar returns the honey that holds so much sugar, kg.
func FromSugar(sugarKg float64) float64 { return sugarKg / (1 - Water) }

// SolutionKgPerL returns the density of a sugar solution near 20 °C, kg/L.
//
//	percent  sugar, g in 100 g of solution
//
// Bolten et al. 1979, as printed with the data of Baude et al. 2015.
func SolutionKgPerL(percent float64) float64 {
	return 0.9988603 + 0.0037921*percent + 0.0000178*percent*percent
}

// Syrup is sugar dissolved in water, mixed by mass.
type Syrup struct {
	SugarKg, WaterKg float64
}

// Autumn is the thick mix for winter stores, two parts of sugar to one of
// water (common practice, no source).
func Autumn() Syrup { return Syrup{SugarKg: 2, WaterKg: 1} }

// Percent returns the sugar in 100 g of the syrup, g.
func (s Syrup) Percent() float64 { return 100 * s.SugarKg / (s.SugarKg + s.WaterKg) }

// Litres returns the volume of the batch, L.
func (s Syrup) Litres() float64 { return (s.SugarKg + s.WaterKg) / SolutionKgPerL(s.Percent()) }

// SugarKgPerL returns the sugar in a litre of the syrup, kg.
func (s Syrup) SugarKgPerL() float64 { return s.SugarKg / s.Litres() }

// LitresForStores returns the syrup that makes up a shortfall of stores, L. A
// kilogram of sugar makes a kilogram of stores: what the added water gains,
// the work of ripening costs (common practice of German keepers' guides).
func (s Syrup) LitresForStores(shortKg float64) float64 { return shortKg / s.SugarKgPerL() }

// Spring is the thin mix that is fed in spring, equal masses (common practice,
// no source).
func Spring() Syrup { return Syrup{SugarKg: 1, WaterKg: 1} }

// ForSugar returns the batch of the same mix that holds so much sugar.
func (s Syrup) ForSugar(kg float64) Syrup {
	return Syrup{SugarKg: kg, WaterKg: s.WaterKg * kg / s.SugarKg}
}

// saturatedPercent is the sugar, g in 100 g, that water near 20 °C holds just
// (from memory). A syrup above it crystallises.
const saturatedPercent = 67

// NearSaturation reports whether the syrup may crystallise near 20 °C: within
// a percent of what water holds.
func (s Syrup) NearSaturation() bool { return s.Percent() > saturatedPercent-1 }
