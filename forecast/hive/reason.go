package hive

import (
	"math"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/honey"
	"bloomtide/ingest/weather"
)

// Unit says what a Value counts, so that an output can print it in the user's
// units.
type Unit uint8

// The units of a Value.
const (
	Count Unit = iota
	Days
	Kg
	Litres
	Celsius
	OnDate // Number is a weather.Date
)

// Value is a number of a reason with its unit.
type Value struct {
	Number float64
	Unit   Unit
}

// Reason says why a task falls where it does: the number and the rule. Each {}
// of Text stands for the next of Values.
type Reason struct {
	Text   string
	Values []Value
}

// Facts are the middle values over all members that reasons quote.
type Facts struct {
	FlowStart, FlowEnd weather.Date // of the main flow
	CropStart, CropEnd weather.Date // of the flows that supers stand for
	EffectiveDays      float64
	Shape              flow.Shape
	Supers             float64
	StoresKg           float64 // honey wanted before winter, kg
	HaveKg             float64 // honey expected in the brood boxes when they are weighed, kg
	SyrupKg            float64 // sugar short of it where some is, kg
	Relative           bool    // cover not known: no expected amounts
	NoWinter           bool    // nothing closes the hive in most members
	Setup              Setup
}

// litresPerKg returns the autumn syrup that holds a kilogram of sugar, L.
func (Facts) litresPerKg() float64 { return honey.Autumn().LitresForStores(1) }

func date(d weather.Date) Value        { return Value{float64(d), OnDate} }
func days(n int) Value                 { return Value{float64(n), Days} }
func temp(c weather.Celsius) Value     { return Value{float64(c), Celsius} }
func count[T int | float64](n T) Value { return Value{float64(n), Count} }

// Why returns the reason for a task of kind k, the n-th of its kind.
func Why(k Kind, n int, f Facts) Reason {
	switch k {
	case BuildUp, SwarmWatch, CongestionCheck, ExcluderOn:
		return f.beforeFlow(k, n)
	case SecondBroodBox, FramesOut, StarvationWatch, WinterHefting:
		return f.lived(k, n)
	case SuperOn, LastSuper:
		return f.supers(k, n)
	case HarvestCheck, Harvest, SupersOff, ExcluderOff, EntranceReducer:
		return f.harvest(k, n)
	default:
		return f.cold(k)
	}
}

func (f Facts) beforeFlow(k Kind, n int) Reason {
	every := CheckEveryDays(f.Shape)
	switch k {
	case BuildUp:
		return Reason{"the first flow worth a harvest starts about {}; an egg needs {} to become a gatherer, so the queen must be laying hard by now: room, young queen, no hunger",
			[]Value{date(f.CropStart), days(BuildUpDays)}}
	case SwarmWatch:
		return Reason{"swarming is likeliest from {} before the first flow worth a harvest until {} into the main flow (about {}); lift the brood box and look along the lower edges for queen cells",
			[]Value{days(SwarmBeforeDays), days(SwarmAfterDays), date(f.FlowStart)}}
	case CongestionCheck:
		if n > 1 {
			return Reason{"{} after the last: an unseen egg in a queen cup cannot be capped sooner; act when nectar backfills the cells that brood has just left",
				[]Value{days(every)}}
		}
		return Reason{"every {} while swarming is likely, because the flow here is " + string(f.Shape) + " (about {} effective days): want empty cells for three days of laying and no honey closing in on the brood",
			[]Value{days(every), count(math.Round(f.EffectiveDays))}}
	default:
		return Reason{"goes on with the first super, {} before the first flow worth a harvest (about {}); queen below, on drawn comb with brood",
			[]Value{days(SuperBeforeDays), date(f.CropStart)}}
	}
}

func (f Facts) supers(k Kind, n int) Reason {
	switch {
	case k == LastSuper:
		return Reason{"{} before the flow ends (about {}) added comb no longer fills; from here bees should crowd honey down and cap it",
			[]Value{days(StopAddingDays), date(f.CropEnd)}}
	case n == 1 && f.Relative:
		return Reason{"{} before the first flow worth a harvest (about {}), when bees cover 7 of 10 frames; how many are wanted is for the comb to say; a full one (" + f.Setup.Super.Name + ") weighs about {}",
			[]Value{days(SuperBeforeDays), date(f.CropStart), {f.Setup.Super.FullKg, Kg}}}
	case n == 1:
		return Reason{"{} before the first flow worth a harvest (about {}), when bees cover 7 of 10 frames; about {} in all are wanted this year; a full one (" + f.Setup.Super.Name + ") weighs about {}",
			[]Value{days(SuperBeforeDays), date(f.CropStart), count(f.Supers), {f.Setup.Super.FullKg, Kg}}}
	case f.Shape == flow.ShortSharp:
		return Reason{"all before the flow: a short-sharp one (about {} effective days) fills comb faster than the next visit, and fresh nectar needs several times the room of ripe honey",
			[]Value{count(math.Round(f.EffectiveDays))}}
	default:
		return Reason{"free comb in the supers would not take the nectar of the next {}; at the hive: the last super is half to two thirds full", []Value{days(lookAhead)}}
	}
}

func (f Facts) harvest(k Kind, n int) Reason {
	switch {
	case k == Harvest && n == lateCrop:
		return Reason{"only in years with a late crop worth a harvest: then the supers stay on until it is capped, {} to {} after the end of its flow",
			[]Value{days(RipenDryDays), days(RipenWetDays)}}
	case k == SupersOff && f.NoWinter:
		return Reason{"with the last harvest, so that bees crowd together in the dearth; no syrup while supers for people are on", nil}
	case k == ExcluderOff && f.NoWinter:
		return Reason{"with the supers; where no cluster forms it may stay on", nil}
	}
	switch k {
	case HarvestCheck:
		return Reason{"{} after the flow ends; take only frames capped to three quarters or more, and read 18.0 % water or less (18.6 % at most) on a refractometer",
			[]Value{days(CheckRipeDays)}}
	case Harvest:
		return Reason{"when most is capped: {} after the end of the flow in dry air, {} in damp, judged by the daily range of temperature; trust the refractometer over the date",
			[]Value{days(RipenDryDays), days(RipenWetDays)}}
	case EntranceReducer:
		return Reason{"the day after the supers come off: the flow is over, robbers and wasps come, and feeding draws them", nil}
	case SupersOff:
		return Reason{"with the last harvest, and at least {} before the last spell of {} days at {} or more; no syrup while supers for people are on",
			[]Value{days(ClearBeforeDays), count(warmSpellDays), temp(WarmC)}}
	default:
		return Reason{"with the supers, before the cluster forms (below about {}): the cluster climbs past an excluder and leaves the queen behind",
			[]Value{temp(WarmC)}}
	}
}

func (f Facts) cold(k Kind) Reason {
	switch k {
	case SpringStoresCheck:
		return Reason{"first {} days in a row at {} or more: brood grows and little comes in; heft or weigh, and feed below {}",
			[]Value{count(flyingRunDays), temp(weather.Celsius(f.Setup.Rules.FlightC)), {ReserveKg, Kg}}}
	case AutumnStoresCheck:
		return f.autumnStores()
	case FeedSyrup:
		if f.Relative {
			return Reason{"where the brood boxes hold less than the {} wanted: each {} short takes {} of two parts sugar to one of water by mass",
				[]Value{{f.StoresKg, Kg}, {1, Kg}, {f.litresPerKg(), Litres}}}
		}
		return Reason{"where the brood boxes hold less than the {} wanted, a middle {} of sugar is missing, {} of two to one by mass; supers are off, and the last day for syrup is near",
			[]Value{{f.StoresKg, Kg}, {f.SyrupKg, Kg}, {f.SyrupKg * f.litresPerKg(), Litres}}}
	case LastFrames:
		return Reason{"the last day that reaches {} before the hive is closed: warmer than the bees hang in a cluster", []Value{temp(WarmC)}}
	case LastSyrup:
		return Reason{"the last day with {} days of {} or more still to come, to take the syrup down and ripen it; after it only fondant or dry sugar",
			[]Value{count(SyrupDays), temp(SyrupC)}}
	case MouseGuard:
		return Reason{"first week whose nights average below {}: mice look for a warm box; reduce the entrance too", []Value{temp(MouseC)}}
	case WinterClosed:
		return Reason{"first week with a daily mean below {}: a lifted frame now chills the cluster; heft from outside until spring", []Value{temp(ClosedC)}}
	default:
		return Reason{}
	}
}

// autumnStores gives what is wanted, what is expected and what feeding takes.
func (f Facts) autumnStores() Reason {
	text := "want about {} of honey for the winter"
	values := []Value{{f.StoresKg, Kg}}
	if !f.Relative {
		text += ", expect about {} in the brood boxes"
		values = append(values, Value{f.HaveKg, Kg})
	}
	text += "; each {} short takes {} of syrup, two parts sugar to one of water by mass; {} left until the last day for syrup"
	return Reason{text, append(values, Value{1, Kg}, Value{f.litresPerKg(), Litres}, days(StoresBeforeDays))}
}

// lived gives the reasons that come out of the hive's own days.
func (f Facts) lived(k Kind, n int) Reason {
	tuning := f.Setup.Tuning
	switch k {
	case SecondBroodBox:
		return Reason{"bees then cover {} % of the brood box and brood fills {} frames: the queen soon lacks cells",
			[]Value{count(100 * coverShare), count(secondBoxFrames)}}
	case FramesOut:
		return Reason{"honey and nectar then hold {} % of the brood nest: an alternative to more room above is to give full frames to another colony",
			[]Value{count(math.Round(100 * (tuning.BoundFrom + tuning.Warn*(tuning.BoundTo-tuning.BoundFrom))))}}
	case StarvationWatch:
		if f.Relative && n > 1 {
			return Reason{"the supers are off and no winter lets the bees rest: brood goes on through the dearth", nil}
		}
		if f.Relative {
			return Reason{"from the first flight to the first flow brood grows and little comes in: strong colonies starve first; how likely that is here cannot be told, since what grows is not known", nil}
		}
		before := "before the first flow worth a harvest; strong colonies starve first"
		if n > 1 {
			before = "before they are made up in autumn: many bees, little forage"
		}
		return Reason{"stores of a hive that began the year well and is not fed then fall below {}, or what lasts {}, and later to {}, " + before + "; yours may differ: weigh it",
			[]Value{{lowKg, Kg}, days(lowDays), {brinkKg, Kg}}}
	default:
		return Reason{"from mid-winter until the first flight no frame is lifted: only the weight tells what is left; each fortnight",
			nil}
	}
}
