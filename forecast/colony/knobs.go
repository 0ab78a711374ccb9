package colony

// Knobs returns every number that the colony lives by, in the order of
// Tuning's fields.
func Knobs() []Knob {
	return append(append(beeKnobs(), foodKnobs()...), append(combKnobs(), scoreKnobs()...)...)
}

func beeKnobs() []Knob {
	const own = "our own choice: "
	return []Knob{
		{"lay_per_day", "eggs/d", 2000, 100, 4000, "Khoury et al. 2013", func(t *Tuning) *float64 { return &t.LayPerDay }},
		{"nurse_half", "bees", 5000, 100, 50000, "Khoury et al. 2013, v: house bees at which half the eggs are reared", func(t *Tuning) *float64 { return &t.NurseHalf }},
		{"food_half", "kg", 0.5, 0.01, 20, "Khoury et al. 2013, b: stores at which half the eggs are reared", func(t *Tuning) *float64 { return &t.FoodHalfKg }},
		{"open_days", "d", 9, 5, 15, "Khoury et al. 2013, 1/φ: brood is uncapped", func(t *Tuning) *float64 { return &t.OpenDays }},
		{"recruit_min", "1/d", 0.25, 0.01, 1, "Khoury et al. 2013: house bees that turn to gathering", func(t *Tuning) *float64 { return &t.RecruitMin }},
		{"recruit_hungry", "1/d", 0.25, 0.01, 1, "Khoury et al. 2013: and more of them without stores", func(t *Tuning) *float64 { return &t.RecruitHungry }},
		{"inhibition", "1/d", 0.75, 0.01, 3, "Khoury et al. 2011: gatherers hold others back", func(t *Tuning) *float64 { return &t.Inhibition }},
		{"summer_loss", "1/d", 0.12, 0.01, 0.5, "Khoury et al. 2013 use 0.075 to 0.15: gatherers lost on a flying day", func(t *Tuning) *float64 { return &t.SummerLoss }},
		{"cluster_loss", "1/d", 0.01, 0.0001, 0.1, own + "0.005 to 0.01 on days without flight", func(t *Tuning) *float64 { return &t.ClusterLoss }},
		{"autumn_loss", "1/d", 0.03, 0.0001, 0.5, own + "summer bees live four to six weeks (from memory): those left when winter bees emerge", func(t *Tuning) *float64 { return &t.AutumnLoss }},
		{"winter_loss", "1/d", 0.004, 0.0001, 0.1, own + "winter bees live four to six months (from memory)", func(t *Tuning) *float64 { return &t.WinterLoss }},
		{"wake_days", "d", 25, 1, 200, own + "over which winter bees turn into house bees in spring", func(t *Tuning) *float64 { return &t.WakeDays }},
		{"spring_degree_days", "°C·d", 80, 1, 1000, own + "above 5 °C from mid-winter to the middle of the spring rise, about 30 March in central Europe, where the curve of laying was made", func(t *Tuning) *float64 { return &t.SpringDD }},
		{"autumn_degree_days", "°C·d", 850, 1, 5000, own + "above 5 °C left in the year at the middle of the fall, about 28 July there", func(t *Tuning) *float64 { return &t.AutumnDD }},
		{"heat_share", "share", 0.5, 0.01, 1, own + "of the shift of the curve of laying that follows degree days; the rest keeps to the curve's own days after mid-winter, since brood begins again then whatever the weather (Moeller 1977)", func(t *Tuning) *float64 { return &t.HeatShare }},
		{"frost_free_from", "°C", 10, -20, 30, own + "coldest 30 days at which laying begins to go on all year", func(t *Tuning) *float64 { return &t.FrostFreeFromC }},
		{"frost_free", "°C", 16, -19, 35, own + "coldest 30 days from which laying knows no winter", func(t *Tuning) *float64 { return &t.FrostFreeC }},
		{"start_bees", "bees", 12000, 500, 60000, own + "a sound colony at mid-winter", func(t *Tuning) *float64 { return &t.StartBees }},
		{"start_stores", "kg", 16, 0.1, 60, own + "a sound colony at mid-winter", func(t *Tuning) *float64 { return &t.StartKg }},
	}
}

func foodKnobs() []Knob {
	const own = "our own choice: "
	return []Knob{
		{"adult_use", "g/d", 0.007, 0.0001, 0.1, "Khoury et al. 2013, γA: honey an adult eats", func(t *Tuning) *float64 { return &t.AdultG }},
		{"cluster_use", "g/d", 0.003, 0.0001, 0.1, "hive scales in winter show 33 to 50 g a day (read), for 12 000 to 15 000 bees", func(t *Tuning) *float64 { return &t.ClusterG }},
		{"brood_use", "g/d", 0.018, 0.0001, 0.1, "Khoury et al. 2013, γB: honey an uncapped brood eats", func(t *Tuning) *float64 { return &t.BroodG }},
		{"trips", "1/d", 13, 1, 40, "Park 1928 counts 7 to 13 and more on good days", func(t *Tuning) *float64 { return &t.Trips }},
		{"load", "mg", 40, 5, 70, "a usual full load of nectar (from memory)", func(t *Tuning) *float64 { return &t.LoadMg }},
		{"gathering", "share", 0.4, 0.05, 0.9, "of house bees and foragers that gather when nectar abounds: 25 to 35 % as a rule, up to 40 % (from memory)", func(t *Tuning) *float64 { return &t.Gathering }},
		{"handling", "share", 0.85, 0.1, 1, own + "stored of what is fetched, 0.8 to 0.9", func(t *Tuning) *float64 { return &t.Handling }},
		{"nectar_sugar", "share", 0.40, 0.1, 0.8, own + "published loads run from 0.2 to 0.6", func(t *Tuning) *float64 { return &t.NectarSugar }},
		{"pollen_fetched", "g/d", 0.03, 0.001, 0.5, own + "a fifth of ten trips with 15 mg, for each gatherer", func(t *Tuning) *float64 { return &t.PollenG }},
		{"pollen_per_bee", "g", 0.1, 0.01, 1, "Moeller 1977: 1 lb rears 4540 bees", func(t *Tuning) *float64 { return &t.PollenPerBeeG }},
		{"pollen_days", "d", 6, 0.5, 60, own + "brood's use that bees keep in store", func(t *Tuning) *float64 { return &t.PollenDays }},
		{"pollen_on_comb", "kg/dm²", 0.2, 0.01, 1, "from memory", func(t *Tuning) *float64 { return &t.PollenKgPerDm2 }},
	}
}

func combKnobs() []Knob {
	const own = "our own choice: "
	return []Knob{
		{"honey_on_comb", "kg/dm²", 0.30, 0.1, 0.6, "published frames span 0.23 to 0.35", func(t *Tuning) *float64 { return &t.HoneyKgPerDm2 }},
		{"unripe_days", "d", 3, 0.5, 20, own + "nectar takes 1 to 7 days to about 20 % water (Park, from memory)", func(t *Tuning) *float64 { return &t.UnripeDays }},
		{"unripe_volume", "times", 2.5, 1, 6, "nectar of 40 % sugar has 2.46 times the volume of its honey", func(t *Tuning) *float64 { return &t.UnripeVolume }},
		{"unripe_fill", "share", 0.5, 0.1, 1, own + "cells filled on the first day, 0.25 to 0.5 and more (from memory)", func(t *Tuning) *float64 { return &t.UnripeFill }},
		{"cap_days", "d", 7, 1, 60, own + "capping lags the flow by several days", func(t *Tuning) *float64 { return &t.CapDays }},
		{"strong_intake", "kg/d", 2, 0.1, 20, own + "above it ripening slows in proportion", func(t *Tuning) *float64 { return &t.StrongKgPerDay }},
		{"dry_range", "K", 10, 2, 30, own + "daily range of temperature at which ripening takes its usual time: the smaller, the damper the air", func(t *Tuning) *float64 { return &t.DryRangeK }},
		{"up_share", "share", 0.95, 0.1, 1, own + "of the gain that goes above the excluder where there is room", func(t *Tuning) *float64 { return &t.UpShare }},
		{"squeeze_share", "share", 0.8, 0.01, 1, own + "of what finds no easy room that is squeezed into the supers; the rest backfills the brood nest", func(t *Tuning) *float64 { return &t.SqueezeShare }},
		{"arch", "kg", 4, 0.1, 40, own + "honey that bees keep about the brood nest and fill up first", func(t *Tuning) *float64 { return &t.ArchKg }},
		{"brood_room", "dm²", 80, 10, 300, own + "comb of the brood boxes that brood, pollen and empty cells want: 31 500 cells for 1500 eggs a day and the room about them", func(t *Tuning) *float64 { return &t.BroodRoomDm2 }},
		{"upper_share", "share", 0.5, 0.01, 1, own + "of the brood boxes' comb beyond it that bees fill for winter: two boxes hold the winter's honey (common practice)", func(t *Tuning) *float64 { return &t.UpperShare }},
		{"arch_share", "share", 0.3, 0.01, 1, own + "of the gain that stays below until the arch is full", func(t *Tuning) *float64 { return &t.ArchShare }},
		{"move_unripe", "1/d", 0.25, 0.001, 1, own + "nectar carried up out of the brood nest once there is room", func(t *Tuning) *float64 { return &t.MoveUnripe }},
		{"move_ripe", "1/d", 0.03, 0.0001, 1, own + "honey carried up when the queen wants its cells", func(t *Tuning) *float64 { return &t.MoveRipe }},
		{"drawn_for_nectar", "dm²/kg", 10, 0.1, 100, own + "foundation that bees draw for each kilogram they bring", func(t *Tuning) *float64 { return &t.DrawDm2PerKg }},
		{"wax_cost", "kg/dm²", 0.09, 0.001, 0.5, "8 kg of honey for 1 kg of wax and 11 g of wax for 1 dm² (from memory)", func(t *Tuning) *float64 { return &t.WaxKgPerDm2 }},
	}
}

func scoreKnobs() []Knob {
	const own = "our own choice, nothing published gives a tested threshold: "
	return []Knob{
		{"bound_from", "share", 0.25, 0.01, 0.9, own + "honey in the brood nest at which honey-bound begins", func(t *Tuning) *float64 { return &t.BoundFrom }},
		{"bound_to", "share", 0.60, 0.02, 1, own + "and is complete", func(t *Tuning) *float64 { return &t.BoundTo }},
		{"laying_room", "d", 3, 0.5, 21, own + "of laying that should find empty cells", func(t *Tuning) *float64 { return &t.LayingRoomDays }},
		{"bees_on_comb", "bees/dm²", 276, 50, 600, "2430 bees on a Langstroth deep frame of 8.8 dm² (Burgett and Burikam 1985, from memory)", func(t *Tuning) *float64 { return &t.BeesPerDm2 }},
		{"crowd_from", "share", 0.7, 0.1, 2, own + "of the combs covered at which crowding begins", func(t *Tuning) *float64 { return &t.CrowdFrom }},
		{"crowd_to", "share", 1.1, 0.2, 3, own + "and is complete", func(t *Tuning) *float64 { return &t.CrowdTo }},
		{"full_share", "share", 2.0 / 3, 0.1, 1, own + "of the supers in use that counts as full in a flow", func(t *Tuning) *float64 { return &t.FullShare }},
		{"full_flow", "kg/d", 1, 0.1, 10, own + "gain at which full supers press", func(t *Tuning) *float64 { return &t.RoomKg }},
		{"weight_bound", "share", 1, 0.01, 1, own + "weight of honey in the nest", func(t *Tuning) *float64 { return &t.WeightBound }},
		{"weight_cells", "share", 1, 0.01, 1, own + "weight of missing empty cells", func(t *Tuning) *float64 { return &t.WeightCells }},
		{"weight_crowd", "share", 0.7, 0.01, 1, own + "weight of crowding, whose part is disputed (Wright 2003)", func(t *Tuning) *float64 { return &t.WeightCrowd }},
		{"weight_room", "share", 0.7, 0.01, 1, own + "weight of full supers", func(t *Tuning) *float64 { return &t.WeightRoom }},
		{"warn", "score", 0.6, 0.1, 1, own + "congestion to look at", func(t *Tuning) *float64 { return &t.Warn }},
		{"act", "score", 0.8, 0.1, 1, own + "congestion to act on", func(t *Tuning) *float64 { return &t.Act }},
	}
}
