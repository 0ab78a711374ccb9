package flow

// Knob is one number of Rules as a setting.
type Knob struct {
	Name    string // as the configuration writes it
	Unit    string
	Default float64
	Lo, Hi  float64 // bounds of what can be meant; our own choices
	Why     string  // source, or that it is our own choice, and the reason
	At      func(*Rules) *float64
}

// Knobs returns every number of Rules, in the order of its fields.
func Knobs() []Knob {
	const own = "our own choice: "
	d := DefaultRules()
	return []Knob{
		{"flow_gain", "kg/d", d.FlowKgPerDay, 0.01, 5, own + "smoothed gain that counts as flow", func(r *Rules) *float64 { return &r.FlowKgPerDay }},
		{"main_gain", "kg/d", d.MainKgPerDay, 0.01, 10, own + "smoothed gain of a main flow", func(r *Rules) *float64 { return &r.MainKgPerDay }},
		{"flow_opens", "d", d.StartRunDays, 1, 14, own + "in a row that open a flow", func(r *Rules) *float64 { return &r.StartRunDays }},
		{"flow_closes", "d", d.EndRunDays, 1, 30, own + "below in a row that close it", func(r *Rules) *float64 { return &r.EndRunDays }},
		{"dearth_days", "d", d.DearthDays, 2, 60, own + "without gain in a row that make a dearth", func(r *Rules) *float64 { return &r.DearthDays }},
		{"short_sharp", "d", d.ShortSharpDays, 1, 60, own + "effective days up to which a flow is short-sharp", func(r *Rules) *float64 { return &r.ShortSharpDays }},
		{"slow_steady", "d", d.SlowSteadyDays, 2, 120, own + "effective days from which a flow is slow-steady", func(r *Rules) *float64 { return &r.SlowSteadyDays }},
		{"flight", "°C", d.FlightC, 5, 16, "Burrill and Dietz 1981; cool-adapted bees fly from 8 to 10 (read)", func(r *Rules) *float64 { return &r.FlightC }},
		{"full_flight", "°C", d.FullC, 12, 30, "Burrill and Dietz 1981", func(r *Rules) *float64 { return &r.FullC }},
		{"heat", "°C", d.HeatC, 25, 45, own + "nectar flights begin to fall (published near 35)", func(r *Rules) *float64 { return &r.HeatC }},
		{"too_hot", "°C", d.TooHotC, 30, 55, own + "no nectar flights are left", func(r *Rules) *float64 { return &r.TooHotC }},
		{"washout", "mm", d.WashoutMm, 0.5, 100, own + "rain that takes a whole day; rain stops flight at once (Lundie 1925)", func(r *Rules) *float64 { return &r.WashoutMm }},
		{"calm", "m/s", d.CalmMs, 0.5, 15, own + "daily mean wind up to which flight is unhindered; wind of 1.6 to 6.7 m/s lowers it (read second-hand)", func(r *Rules) *float64 { return &r.CalmMs }},
		{"gale", "m/s", d.GaleMs, 1, 30, own + "daily mean wind from which none is left; books give 5.4 to 11 m/s", func(r *Rules) *float64 { return &r.GaleMs }},
		{"scale_most_gain", "kg/d", d.MostGainKg, 1, 50, own + "on a hive scale that bees can bring; more is the keeper's work", func(r *Rules) *float64 { return &r.MostGainKg }},
		{"scale_most_loss", "kg/d", d.MostLossKg, 0.2, 20, own + "on a hive scale that bees can use; more is the keeper's work", func(r *Rules) *float64 { return &r.MostLossKg }},
	}
}
