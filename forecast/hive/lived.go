package hive

import (
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// When the hive itself asks for work. Our own choices, but for hefting, which
// is common practice from mid-winter on.
const (
	coverShare      = 0.7 // of the brood box covered with bees that calls for a second one (keepers' guides: 6 to 7 of 10 frames)
	secondBoxFrames = 6.0 // and frames of brood in it
	swarmFrames     = 5.5 // frames of brood from which a colony may swarm (keepers' guides: 5 to 6)
	lowKg           = 5.0 // stores that are low in spring, kg (common practice, no source)
	lowDays         = 10  // or that last so many days
	layingSeason    = 0.5 // share of full laying from which congestion matters
	heftAfterDays   = 7   // mid-winter days without flight that make a winter
	leastSyrupKg    = 1.0 // less sugar than this is not worth a feeding, kg
)

// season returns the plant year as a range of days.
func (c Course) season(y Year) dayRange {
	lat := c.Season.LatDeg
	return dayRange{phenology.YearStart(lat, y.year), phenology.YearStart(lat, y.year+1)}
}

// lived adds what the keeper's own hive shows in the year, and strikes out
// what the log says is done.
func (y *Year) lived(c Course) {
	r := c.season(*y).within(c.Season)
	y.count(c, r)
	y.stores(c)
	y.nest(c, r)
	y.hunger(c, r)
	y.hefting(c, r)
	y.strike(c)
}

// count counts the congested days from the swarm season to the end of the
// crops.
func (y *Year) count(c Course, r dayRange) {
	for d := max(r.from, y.CropStart-SwarmBeforeDays); d < min(r.to, y.CropEnd+1); d++ {
		day, _ := c.On(d)
		if day.Laying < layingSeason {
			continue
		}
		if day.Bound >= c.Setup.Tuning.Act {
			y.BoundDays++
		}
		if day.Congestion >= c.Setup.Tuning.Act {
			y.CongestedDays++
		}
	}
}

// stores adds what the look at stores in autumn finds.
func (y *Year) stores(c Course) {
	at := c.season(*y)
	for _, a := range c.autumns {
		if a.day < at.from || a.day >= at.to {
			continue
		}
		y.HaveKg, y.SyrupKg = a.haveKg, a.fedKg
		if y.SyrupKg >= leastSyrupKg || c.Setup.ShapeOnly {
			y.add(FeedSyrup, a.day)
		}
	}
}

// nest adds the second brood box and, for a crowded or honey-bound nest, the
// frames to take out.
func (y *Year) nest(c Course, r dayRange) {
	if !y.HasFlow {
		return
	}
	t := c.Setup.Tuning
	box := c.Setup.BroodBox.AreaDm2() * t.BeesPerDm2
	second := c.Setup.BroodBoxes > 1
	for d := r.from; d <= min(y.CropEnd, r.to-1); d++ {
		day, _ := c.On(d)
		if !second && day.Adults >= coverShare*box && day.BroodFrames >= secondBoxFrames {
			y.add(SecondBroodBox, d)
			second = true
		}
		if d >= y.CropStart-SwarmBeforeDays && day.Laying >= layingSeason && day.Bound >= t.Warn {
			y.add(FramesOut, d)
			return
		}
	}
}

// hunger adds the watches for starvation: before the first crop, and from the
// day the supers come off until winter. Where nobody knows how much nectar
// there is, the watch is kept from the first flight on, whatever a hive of the
// simulation would eat.
func (y *Year) hunger(c Course, r dayRange) {
	to := y.CropStart
	if !y.HasFlow {
		to = c.firstIncome(r.from)
	}
	if c.Setup.ShapeOnly {
		if d := c.FirstFlight(r.from, min(to, r.to)); d < min(to, r.to) {
			y.Events = append(y.Events, Event{Kind: StarvationWatch, N: 1, Day: d, Until: min(to, r.to)})
		}
	} else {
		y.starving(c, 1, dayRange{r.from, min(to, r.to)})
	}
	off, ok := y.day(SupersOff)
	weighed, winter := y.day(AutumnStoresCheck)
	switch {
	case !ok || off+1 >= r.to:
	case winter && !c.Setup.ShapeOnly:
		y.starving(c, 2, dayRange{off + 1, min(weighed, r.to)})
	case !c.Setup.ShapeOnly:
		y.starving(c, 2, dayRange{off + 1, r.to})
	case !winter: // a dearth takes winter's place
		y.Events = append(y.Events, Event{Kind: StarvationWatch, N: 2, Day: off + 1, Until: r.to})
	}
}

// starving adds the n-th watch for starvation where a hive that is not fed
// comes to the brink within the days of r: it begins on the day the stores run
// low and ends with the range.
func (y *Year) starving(c Course, n int, r dayRange) {
	low := weather.Date(0)
	for d := r.from; d < r.to; d++ {
		day, ok := c.On(d)
		switch {
		case !ok:
			return
		case day.StoresKg >= lowKg && day.StoresKg >= lowDays*day.UseKg:
			low = 0
		case low == 0:
			low = d
		}
		if low != 0 && day.StoresKg < brinkKg {
			y.Events = append(y.Events, Event{Kind: StarvationWatch, N: n, Day: low, Until: r.to})
			return
		}
	}
}

// day returns the day of the first event of a kind.
func (y *Year) day(k Kind) (weather.Date, bool) {
	for _, e := range y.Events {
		if e.Kind == k {
			return e.Day, true
		}
	}
	return 0, false
}

// hefting adds the weighing of a closed hive from mid-winter to the first
// flight.
func (y *Year) hefting(c Course, r dayRange) {
	if first := c.FirstFlight(r.from, r.to); first > r.from+heftAfterDays && c.season(*y).from == r.from {
		y.Events = append(y.Events, Event{Kind: WinterHefting, N: 1, Day: r.from, Until: min(first, r.from+lateSummerDay)})
	}
}

// strike takes out of the year what the log says is done.
func (y *Year) strike(c Course) {
	log, at := c.Setup.Log, c.season(*y)
	if !log.kept() || at.from > log.Upto {
		return
	}
	supers := log.count(PutSuper, at.from, at.to)
	off := log.count(TookSupers, at.from, at.to) > 0
	excluder := log.count(PutExcluder, at.from, at.to)
	clear := log.count(TookExcluder, at.from, at.to) > 0
	box := log.count(PutBroodBox, at.from, at.to) > 0
	kept := y.Events[:0]
	for _, e := range y.Events {
		done := false
		switch e.Kind {
		case SuperOn:
			done = e.N <= supers || off
		case LastSuper, SupersOff, Harvest, HarvestCheck:
			done = off
		case ExcluderOn:
			done = excluder > 0
		case ExcluderOff:
			done = clear
		case SecondBroodBox:
			done = box
		}
		if !done {
			kept = append(kept, e)
		}
	}
	y.Events = kept
}

// lastFrames returns the last day before the hive is closed on which frames
// may be lifted: warm enough that no bee hangs in the cluster.
func (c Course) lastFrames(from, closed weather.Date) weather.Date {
	for d := closed; d > from; d-- {
		if c.Season.Max[d-c.Season.Start] >= WarmC {
			return d
		}
	}
	return closed
}
