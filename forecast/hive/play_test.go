package hive_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/honey"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// drawSeason is any weather: a wave over the year with noise, from polar to
// tropical, starting on any day, of any length up to three years.
func drawSeason(t *rapid.T) phenology.Season {
	days := rapid.IntRange(0, 1000).Draw(t, "days")
	lat := rapid.Float64Range(-60, 70).Draw(t, "latitude")
	s := phenology.Season{LatDeg: lat, Start: phenology.YearStart(lat, 2024)}
	if rapid.Bool().Draw(t, "starts on any day") {
		s.Start += weather.Date(rapid.IntRange(-400, 400).Draw(t, "start"))
	}
	mean, swing, noise := 11.0, 9.0, 4.0
	if rapid.Bool().Draw(t, "strange climate") {
		mean = rapid.Float64Range(-30, 40).Draw(t, "mean")
		swing = rapid.Float64Range(0, 30).Draw(t, "swing")
		noise = rapid.Float64Range(0, 15).Draw(t, "noise")
	}
	wet := rapid.Float64Range(0, 1).Draw(t, "wet days")
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	for i := range days {
		phase := 2 * math.Pi * float64(int(s.Start)+i) / 365.25
		m := mean + swing*math.Sin(phase-math.Pi/2) + noise*(2*r.Float64()-1)
		spread := 10 * r.Float64()
		s.Min = append(s.Min, weather.Celsius(m-spread))
		s.Max = append(s.Max, weather.Celsius(m+spread))
		rain := math.NaN()
		if r.Float64() < wet {
			rain = 20 * r.Float64()
		}
		s.RainMm = append(s.RainMm, rain)
	}
	return s
}

// drawSugar is any supply over a season, kg a day: some triangles.
func drawSugar(t *rapid.T, s phenology.Season) []float64 {
	var stands []flow.Growing
	for range rapid.IntRange(0, 4).Draw(t, "stands") {
		onset := s.Start + weather.Date(rapid.IntRange(-50, max(1, s.Len())).Draw(t, "onset"))
		days := weather.Date(rapid.IntRange(2, 120).Draw(t, "bloom days"))
		stands = append(stands, flow.Growing{
			Stand: flow.Stand{Hectares: rapid.Float64Range(0, 100).Draw(t, "ha"), PeakKgPerHaDay: 6},
			Bloom: phenology.Bloom{Onset: onset, Peak: onset + days/2, End: onset + days},
		})
	}
	return flow.Supply(s, stands)
}

func cloneSeason(s phenology.Season) phenology.Season {
	s.Min, s.Max, s.RainMm = slices.Clone(s.Min), slices.Clone(s.Max), slices.Clone(s.RainMm)
	return s
}

// bits makes NaN equal to itself.
func bits(x []float64) (out []uint64) {
	for _, v := range x {
		out = append(out, math.Float64bits(v))
	}
	return out
}

// Any weather plays without a panic and asks for nothing absurd: every event
// lies in the season or the weeks around it, has its number, and the trade's
// order of work holds (common practice, no source).
func TestPlayOnAnyWeather(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		season := drawSeason(t)
		sugar := drawSugar(t, season)
		wasSeason, wasSugar := cloneSeason(season), slices.Clone(sugar)
		c := hive.NewCourse(hive.Setup{}, season, sugar)
		for y := 2021; y <= 2028; y++ {
			year := c.Play(y)
			for _, e := range year.Events {
				require.Contains(t, hive.Kinds(), e.Kind)
				require.Positive(t, e.N)
				require.GreaterOrEqual(t, e.Day, max(season.Start, phenology.YearStart(season.LatDeg, y))-hive.BuildUpDays, "%s", e.Kind)
				require.LessOrEqual(t, e.Day, season.End()+hive.RipenWetDays+1, "%s", e.Kind)
				if e.Until != 0 {
					require.GreaterOrEqual(t, e.Until, e.Day)
				}
			}
			require.GreaterOrEqual(t, year.StoresKg, 0.0)
			require.Less(t, year.StoresKg, 60.0, "kg: more than any keeper's text asks for (Moeller 1977: 41)")
			require.Equal(t, year.HasFlow, len(year.Flows) > 0)
			requireTrade(t, year)
			require.Equal(t, year, c.Play(y), "played again")
		}
		require.Equal(t, wasSugar, sugar, "input changed")
		require.Equal(t, wasSeason.Min, season.Min, "input changed")
		require.Equal(t, wasSeason.Max, season.Max, "input changed")
		require.Equal(t, bits(wasSeason.RainMm), bits(season.RainMm), "input changed")
	})
}

// first returns the first event of a kind.
func first(y hive.Year, k hive.Kind) (weather.Date, bool) {
	for _, e := range y.Events {
		if e.Kind == k {
			return e.Day, true
		}
	}
	return 0, false
}

// requireTrade checks the order of work that every keeper would ask for.
func requireTrade(t require.TestingT, y hive.Year) {
	seen := map[hive.Kind]int{}
	last := map[hive.Kind]weather.Date{}
	crops := map[hive.Event]bool{}
	for _, e := range y.Events {
		switch e.Kind {
		case hive.Harvest, hive.HarvestCheck, hive.StarvationWatch: // numbered by crop, 1 is the main one, and by the part of the year
			key := hive.Event{Kind: e.Kind, N: e.N}
			require.False(t, crops[key], "%s %d twice", e.Kind, e.N)
			require.Positive(t, e.N)
			crops[key] = true
			continue
		}
		require.Equal(t, seen[e.Kind]+1, e.N, "%s is numbered in order", e.Kind)
		if e.N > 1 {
			require.GreaterOrEqual(t, e.Day, last[e.Kind], "%s %d before the one before it", e.Kind, e.N)
		}
		seen[e.Kind], last[e.Kind] = e.N, e.Day
	}
	require.Equal(t, seen[hive.SuperOn], y.Supers)
	for _, pair := range [][2]hive.Kind{
		{hive.BuildUp, hive.SwarmWatch}, {hive.ExcluderOn, hive.SuperOn},
		{hive.SuperOn, hive.HarvestCheck}, {hive.HarvestCheck, hive.Harvest}, {hive.Harvest, hive.SupersOff},
		{hive.SupersOff, hive.LastSyrup}, {hive.SupersOff, hive.AutumnStoresCheck}, {hive.AutumnStoresCheck, hive.LastSyrup},
		{hive.ExcluderOff, hive.WinterClosed}, {hive.LastSyrup, hive.WinterClosed}, {hive.SuperOn, hive.LastSuper},
		{hive.LastSuper, hive.SupersOff},
	} {
		d, ok := first(y, pair[0])
		if ok && seen[pair[1]] > 0 {
			require.LessOrEqual(t, d, last[pair[1]], "%s after %s", pair[0], pair[1])
		}
	}
	require.Equal(t, seen[hive.HarvestCheck], seen[hive.Harvest])
	if !y.HasFlow {
		return
	}
	on, ok := first(y, hive.SuperOn)
	require.True(t, ok)
	require.Equal(t, y.CropStart-7, on, "the first super goes on a week before the flow (Phillips 1911: seven to ten days)")
	require.LessOrEqual(t, y.CropStart, y.Main.Start)
	require.GreaterOrEqual(t, y.CropEnd, y.Main.End)
	off, ok := first(y, hive.SupersOff)
	require.True(t, ok)
	require.LessOrEqual(t, last[hive.Harvest], off)
	require.LessOrEqual(t, last[hive.SuperOn], off)
	require.GreaterOrEqual(t, off, y.Main.Peak)
	if y.Main.Shape == flow.ShortSharp && len(y.Flows) == 1 {
		require.Equal(t, on, last[hive.SuperOn], "a short-sharp flow: all at once")
	}
}

// Without a supply a colony only eats: never more than four full colonies of
// row 26 (Khoury et al. 2013: 0.4285 kg a day), in climates that no colony has
// been counted in.
func TestGainWithoutSupplyIsUse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeason(t)
		c := hive.NewCourse(hive.Setup{}, s, make([]float64, s.Len()))
		require.Len(t, c.GainKg, s.Len())
		for _, g := range c.GainKg {
			require.LessOrEqual(t, g, 0.0)
			require.Greater(t, g, -4*0.4285)
		}
		require.Empty(t, c.Flows)
	})
}

// A colony gets no more than is there: what it gains over a season is at most
// its share of the sugar as honey.
func TestGainConserves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeason(t)
		sugar := drawSugar(t, s)
		gain := hive.NewCourse(hive.Setup{ColoniesInReach: 2}, s, sugar).GainKg
		for i := range gain {
			require.LessOrEqual(t, gain[i], honey.FromSugar(sugar[i])/2+1e-9)
		}
	})
}

// Comb in supers holds the crop of a short-sharp flow: all supers go on before
// it, so their number must not depend on how many days are left to add more.
// HIVE.md, section 11: "need rule on peak 3 days", 3.2: ripe at 0.30 kg/dm² and
// fresh nectar of three days on 16.7 dm²/kg.
func TestShortSharpFlowGetsRoomForItsPeak(t *testing.T) {
	s := mild(45, 300, 20, 25)
	gain := make([]float64, s.Len())
	for i := range gain {
		gain[i] = -0.2
	}
	crop := []float64{0.4, 0.4, 0.4, 0.4, 0.4, 0.5, 0.7, 1, 2, 3, 4, 4, 4, 3, 2, 1, 0.5}
	copy(gain[140:], crop)
	c := hive.Course{Setup: hive.Setup{}.WithDefaults(), Season: s, GainKg: gain, Flows: flow.Detect(gain, s.Start)}
	y := c.Play(2025)
	require.Len(t, y.Flows, 1)
	require.Equal(t, flow.ShortSharp, y.Main.Shape)
	require.Greater(t, y.Main.End-y.Main.Start, weather.Date(14), "a flow with a last day to add supers")
	room := 57.0 // dm² of comb, ten medium frames
	ripe := 0.0
	for _, kg := range crop[:10] {
		ripe += kg
	}
	need := ripe/0.30 + (4+4+4)*2.5/0.30/0.5
	require.GreaterOrEqual(t, float64(y.Supers)*room, 0.9*need, "%d supers for %.0f dm²", y.Supers, need)
}

// No winter closes the hive where it never gets cold, no spring opens it where
// it never gets warm.
func TestPlayExtremes(t *testing.T) {
	warm := hive.NewCourse(hive.Setup{}, mild(10, 800, 22, 31), make([]float64, 800)).Play(2025)
	require.Zero(t, warm.StoresKg)
	for _, k := range []hive.Kind{hive.WinterClosed, hive.MouseGuard, hive.LastSyrup} {
		_, ok := first(warm, k)
		require.False(t, ok, "%s in the tropics", k)
	}
	polar := hive.NewCourse(hive.Setup{}, mild(75, 800, -25, -5), make([]float64, 800)).Play(2025)
	_, ok := first(polar, hive.SpringStoresCheck)
	require.False(t, ok)
	require.False(t, polar.HasFlow)
}

// BenchmarkPlay lives through one plant year of a good flow.
func BenchmarkPlay(b *testing.B) {
	s := mild(45, 880, 15, 25)
	sugar := flow.Supply(s, []flow.Growing{{
		Stand: flow.Stand{Hectares: 100, PeakKgPerHaDay: 6},
		Bloom: phenology.Bloom{Onset: s.Start + 120, Peak: s.Start + 140, End: s.Start + 165},
	}})
	c := hive.NewCourse(hive.Setup{}, s, sugar)
	if len(c.Flows) == 0 {
		b.Fatal("no flow to play")
	}
	for b.Loop() {
		c.Play(2025)
	}
}
