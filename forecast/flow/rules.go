package flow

// Rules are the choices by which flows are told apart and weather is weighed.
// Zero fields take the defaults. Nothing published fixes them: all are our own
// choices, within what hive scales and flight counts show.
type Rules struct {
	FlowKgPerDay   float64 // smoothed gain that counts as flow, kg/d; default 0.25
	MainKgPerDay   float64 // smoothed gain of a main flow, kg/d; default 1
	StartRunDays   float64 // days at or above in a row that open a flow; default 3
	EndRunDays     float64 // days below in a row that close it; default 7
	DearthDays     float64 // days without gain in a row that make a dearth; default 10
	ShortSharpDays float64 // effective days up to which a flow is short-sharp; default 12
	SlowSteadyDays float64 // effective days from which it is slow-steady; default 25

	FlightC    float64 // no flight on days that stay below, °C; default 12 (Burrill and Dietz 1981)
	FullC      float64 // flight unhindered from here, °C; default 20 (Burrill and Dietz 1981)
	HeatC      float64 // nectar flights begin to fall, °C; default 35
	TooHotC    float64 // none left, °C; default 42
	WashoutMm  float64 // rain that takes the whole day, mm; default 10
	CalmMs     float64 // mean wind up to which flight is unhindered, m/s; default 4
	GaleMs     float64 // and from which there is none, m/s; default 8
	MostGainKg float64 // of a day on a hive scale that bees can bring, kg; default 12
	MostLossKg float64 // of a day that bees can use or carry off, kg; default 2
}

// DefaultRules returns the rules with every default filled in.
func DefaultRules() Rules {
	return Rules{
		FlowKgPerDay: 0.25, MainKgPerDay: 1, StartRunDays: 3, EndRunDays: 7, DearthDays: 10,
		ShortSharpDays: 12, SlowSteadyDays: 25,
		FlightC: 12, FullC: 20, HeatC: 35, TooHotC: 42, WashoutMm: 10, CalmMs: 4, GaleMs: 8, MostGainKg: 12, MostLossKg: 2,
	}
}

// WithDefaults fills in every zero field.
func (r Rules) WithDefaults() Rules {
	d := DefaultRules()
	have, def := r.fields(), d.fields()
	for i, f := range have {
		if *f == 0 {
			*f = *def[i]
		}
	}
	return r
}

// fields returns every field, in order.
func (r *Rules) fields() []*float64 {
	return []*float64{
		&r.FlowKgPerDay, &r.MainKgPerDay, &r.StartRunDays, &r.EndRunDays, &r.DearthDays,
		&r.ShortSharpDays, &r.SlowSteadyDays,
		&r.FlightC, &r.FullC, &r.HeatC, &r.TooHotC, &r.WashoutMm, &r.CalmMs, &r.GaleMs, &r.MostGainKg, &r.MostLossKg,
	}
}
