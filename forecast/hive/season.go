package hive

import (
	"bloomtide/forecast/flow"
	"bloomtide/ingest/weather"
)

// Days before and after the main flow.
const (
	// BuildUpDays before the flow an egg must be laid to become a gatherer: 21
	// days in the comb and 14 to 21 as a house bee. Phillips 1911; Demuth 1912.
	BuildUpDays = 42

	// SwarmBeforeDays and SwarmAfterDays bound the swarm watch around the
	// start of the flow. Our own choice; keepers' texts put the swarm season
	// into the four weeks before and the start of the main flow.
	SwarmBeforeDays = 28
	SwarmAfterDays  = 14

	// SuperBeforeDays before the flow the first super and the excluder go on
	// (Phillips 1911: seven to ten days).
	SuperBeforeDays = 7

	// StopAddingDays before the end of the flow no super is added, so that
	// bees crowd the honey down and finish it (after Demuth 1912; the number
	// is our own choice).
	StopAddingDays = 14

	// CheckRipeDays and RipenDays after the end of the flow honey is looked at
	// and taken. Capping lags the flow by several days, up to 14 in warm dry
	// weather, 21 in wet (extension and keepers' guides); 10 in dry air is our
	// own choice.
	CheckRipeDays = 7
	RipenDryDays  = 10
	RipenDays     = 14
	RipenWetDays  = 21

	// ClearBeforeDays before the last warm spell the supers come off, so that
	// syrup can still be taken and ripened. Our own choice.
	ClearBeforeDays = 21
	warmSpellDays   = 10
	// WarmC: bees hang in a cluster below about this (55 °F; common practice,
	// no source).
	WarmC weather.Celsius = 13

	// HarvestKg is the least surplus worth a harvest, kg. Our own choice.
	HarvestKg = 5.0
)

// CheckEveryDays returns the days between looks at the brood nest while
// swarming is likely: a queen cell can first be seen on day 3 to 4 and is
// capped on day 8 to 9, so seven days miss none; five in a short-sharp flow,
// which fills a brood nest within a week.
func CheckEveryDays(s flow.Shape) int {
	if s == flow.ShortSharp {
		return 5
	}
	return 7
}

// season adds the work around the flows and returns the day the supers come
// off.
func (y *Year) season(c Course, r dayRange) weather.Date {
	crops, main := c.crops(y.Flows, y.Main, r.from+lateSummerDay)
	last := crops[len(crops)-1]
	y.CropStart, y.CropEnd = crops[0].Start, last.End
	y.beforeFlow(c)
	off := clearBy(c, r, last)
	last.End = min(last.End, off) // what comes in later stays with the bees
	crops[len(crops)-1] = last
	for i, d := range c.supers(crops) {
		y.Events = append(y.Events, Event{Kind: SuperOn, N: i + 1, Day: d})
		y.Supers = i + 1
	}
	if d := last.End - StopAddingDays; d > last.Start {
		y.add(LastSuper, d)
	}
	y.harvests(c, crops, main, off)
	y.add(SupersOff, off)
	y.add(ExcluderOff, off)
	y.add(EntranceReducer, off+1)
	return off
}

// beforeFlow adds what a colony needs before the first flow worth a harvest,
// and the watch for swarms from then into the main flow.
func (y *Year) beforeFlow(c Course) {
	y.add(BuildUp, y.CropStart-BuildUpDays)
	watch := Event{Kind: SwarmWatch, N: 1, Until: y.Main.Start + SwarmAfterDays}
	watch.Day = c.firstBrood(y.CropStart-SwarmBeforeDays, y.CropStart, swarmFrames)
	y.Events = append(y.Events, watch)
	every := weather.Date(CheckEveryDays(y.Main.Shape))
	for n, d := 1, watch.Day; d <= watch.Until; n, d = n+1, d+every {
		y.Events = append(y.Events, Event{Kind: CongestionCheck, N: n, Day: d})
	}
	y.add(ExcluderOn, y.CropStart-SuperBeforeDays)
}

// clearBy returns the day the supers come off: when the honey is ripe, but
// early enough before the last warm spell to feed.
func clearBy(c Course, r dayRange, f flow.Flow) weather.Date {
	off := f.End + c.ripenDays(f.End)
	autumn := dayRange{max(r.from+lateSummerDay, f.Peak), r.to}
	if spell, ok := lastRun(c.Season, autumn, WarmC, warmSpellDays); ok {
		off = max(min(off, spell-ClearBeforeDays), f.Peak)
	}
	return off
}

// Numbers of crops beside the main one, which is 1.
const (
	lateCrop  = 2
	earlyCrop = 3
)

// harvests adds the look at ripeness and the harvest after each crop that is
// worth it, none later than the day the supers come off. Numbers mean the same
// in every year: 1 is the main crop, 2 the next after it, 3 the one before it.
//
//	main  index of the main crop
func (y *Year) harvests(c Course, crops []flow.Flow, main int, off weather.Date) {
	for i, f := range crops {
		n := i - main + 1
		if i < main {
			n = earlyCrop + main - 1 - i
		}
		if f.Kg < HarvestKg || n == earlyCrop && i > main {
			continue
		}
		y.Events = append(y.Events,
			Event{Kind: HarvestCheck, N: n, Day: min(f.End+CheckRipeDays, off)},
			Event{Kind: Harvest, N: n, Day: min(f.End+c.ripenDays(f.End), off)})
	}
}

// The daily range of temperature at which the mean relative humidity, with the
// dew point at the minimum, is 65 and 75 %. FAO Irrigation and Drainage Paper
// 56 (Allen et al. 1998), eq. 11, 12 and 48 (from memory), at 20 °C.
const dryRangeK, wetRangeK = 11.8, 8.2

// ripenDays returns the days after the end of a flow until most of it is
// capped, by how damp the air of the fortnight is: the nearer minimum and
// maximum lie, the damper.
func (c Course) ripenDays(end weather.Date) weather.Date {
	r := dayRange{end + 1, end + 1 + RipenDays}.within(c.Season)
	if r.to <= r.from {
		return RipenDays
	}
	sum := 0.0
	for d := r.from; d < r.to; d++ {
		sum += float64(c.Season.Max[d-c.Season.Start] - c.Season.Min[d-c.Season.Start])
	}
	switch mean := sum / float64(r.to-r.from); {
	case mean > dryRangeK:
		return RipenDryDays
	case mean < wetRangeK:
		return RipenWetDays
	default:
		return RipenDays
	}
}
