package hive_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bloomtide/forecast/colony"
	"bloomtide/forecast/hive"
)

// Shared out over the boxes nothing is lost and nothing is below zero; honey
// stands above brood, and the supers fill from below (common practice, no
// source).
func TestBoxesHoldTheComb(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		use := func(name string) colony.Use {
			x := func(s string) float64 { return rapid.Float64Range(0, 200).Draw(t, name+s) }
			return colony.Use{Honey: x("honey"), Unripe: x("unripe"), Pollen: x("pollen"), Brood: x("brood"), Empty: x("empty")}
		}
		d := hive.Day{Nest: use("nest"), BroodBoxes: rapid.IntRange(1, 4).Draw(t, "brood boxes"), Supers: rapid.IntRange(0, 6).Draw(t, "supers")}
		if d.Supers > 0 {
			d.Super = use("super")
		}
		boxes := d.Boxes()
		require.Len(t, boxes, d.BroodBoxes+d.Supers)
		var sum colony.Use
		for i, b := range boxes {
			for _, x := range []float64{b.Honey, b.Unripe, b.Pollen, b.Brood, b.Empty} {
				require.GreaterOrEqual(t, x, 0.0)
			}
			sum.Honey, sum.Unripe, sum.Brood = sum.Honey+b.Honey, sum.Unripe+b.Unripe, sum.Brood+b.Brood
			sum.Pollen, sum.Empty = sum.Pollen+b.Pollen, sum.Empty+b.Empty
			if i > 0 && i < d.BroodBoxes {
				require.GreaterOrEqual(t, b.Honey+1e-9, boxes[i-1].Honey, "honey above")
			}
			if i > d.BroodBoxes {
				require.LessOrEqual(t, b.Honey, boxes[i-1].Honey+1e-9, "the nearest super first")
			}
		}
		for _, pair := range [][2]float64{
			{d.Nest.Honey + d.Super.Honey, sum.Honey}, {d.Nest.Unripe + d.Super.Unripe, sum.Unripe}, {d.Nest.Brood + d.Super.Brood, sum.Brood},
			{d.Nest.Pollen + d.Super.Pollen, sum.Pollen}, {d.Nest.Empty + d.Super.Empty, sum.Empty},
		} {
			require.InDelta(t, pair[0], pair[1], 1e-9)
		}
	})
}
