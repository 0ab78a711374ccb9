package colony

// Tuning are the numbers that the colony lives by. Zero fields take the
// defaults that Knobs lists with unit, source and reason.
type Tuning struct {
	// Brood and bees.
	LayPerDay, NurseHalf, FoodHalfKg, OpenDays                float64
	RecruitMin, RecruitHungry, Inhibition                     float64
	SummerLoss, ClusterLoss, AutumnLoss, WinterLoss, WakeDays float64
	SpringDD, AutumnDD, HeatShare, FrostFreeFromC, FrostFreeC float64
	StartBees, StartKg                                        float64
	// Food.
	AdultG, ClusterG, BroodG                           float64
	Trips, LoadMg, Gathering, Handling, NectarSugar    float64
	PollenG, PollenPerBeeG, PollenDays, PollenKgPerDm2 float64
	// Comb.
	HoneyKgPerDm2, UnripeDays, UnripeVolume, UnripeFill float64
	CapDays, StrongKgPerDay, DryRangeK                  float64
	UpShare, SqueezeShare, MoveUnripe, MoveRipe         float64
	ArchKg, BroodRoomDm2, UpperShare, ArchShare         float64
	DrawDm2PerKg, WaxKgPerDm2                           float64
	// Congestion.
	BoundFrom, BoundTo, LayingRoomDays                float64
	BeesPerDm2, CrowdFrom, CrowdTo, FullShare, RoomKg float64
	WeightBound, WeightCells, WeightCrowd, WeightRoom float64
	Warn, Act                                         float64
}

// Knob is one number of a Tuning as a setting.
type Knob struct {
	Name    string // as the configuration writes it
	Unit    string
	Default float64
	Lo, Hi  float64 // bounds of what can be meant; our own choices
	Why     string  // source, or that it is our own choice, and the reason
	At      func(*Tuning) *float64
}

// WithDefaults fills in every zero field.
func (t Tuning) WithDefaults() Tuning {
	for _, k := range Knobs() {
		if at := k.At(&t); *at == 0 {
			*at = k.Default
		}
	}
	return t
}
