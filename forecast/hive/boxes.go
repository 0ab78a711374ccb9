package hive

import (
	"fmt"

	"bloomtide/forecast/colony"
)

// BoxUse is how the comb of one box is taken up.
type BoxUse struct {
	Box string // "brood box 1" is the lowest, "super 1" the nearest to the brood
	colony.Use
}

// Boxes shares the day's comb out over the boxes, from the bottom up. The
// simulation keeps one account below the excluder and one above it; where in
// them things stand follows a rule of our own: honey and then nectar lie at the
// top of the brood boxes, brood and pollen close below them, empty comb at the
// bottom, as the cluster moves up while it eats; supers fill from the brood up.
func (d Day) Boxes() []BoxUse {
	nest := fill(d.Nest, max(d.BroodBoxes, 1))
	out := make([]BoxUse, 0, len(nest)+d.Supers)
	for i := range nest {
		out = append(out, BoxUse{fmt.Sprintf("brood box %d", i+1), nest[len(nest)-1-i]})
	}
	for i, u := range fill(d.Super, d.Supers) {
		out = append(out, BoxUse{fmt.Sprintf("super %d", i+1), u})
	}
	return out
}

// fill shares a use out over n boxes of one size, the first of which fills
// first: honey, nectar, brood, pollen, empty comb.
func fill(u colony.Use, n int) []colony.Use {
	out := make([]colony.Use, n)
	if n == 0 {
		return out
	}
	size := (u.Honey + u.Unripe + u.Brood + u.Pollen + u.Empty) / float64(n)
	at, room := 0, size
	for _, part := range [5]struct {
		dm2 float64
		to  func(*colony.Use) *float64
	}{
		{u.Honey, func(x *colony.Use) *float64 { return &x.Honey }}, {u.Unripe, func(x *colony.Use) *float64 { return &x.Unripe }},
		{u.Brood, func(x *colony.Use) *float64 { return &x.Brood }}, {u.Pollen, func(x *colony.Use) *float64 { return &x.Pollen }},
		{u.Empty, func(x *colony.Use) *float64 { return &x.Empty }},
	} {
		for left := part.dm2; left > 0; {
			for room <= 0 && at < n-1 {
				at, room = at+1, size
			}
			put := left
			if at < n-1 {
				put = min(left, room)
			}
			*part.to(&out[at]) += put
			left, room = left-put, room-put
		}
	}
	return out
}
