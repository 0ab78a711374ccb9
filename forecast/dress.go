package forecast

import (
	"hash/fnv"
	"math"
	"math/rand/v2"

	"bloomtide/phenology"
)

// leastScale keeps a dressed model's degree days positive.
const leastScale = 0.2

// scales returns one factor per member for the degree days of a plant, so that
// the spread of the windows holds the doubt of the table row and not only that
// of the weather. The factors are the evenly spaced quantiles of a normal
// distribution about 1 with the row's relative standard deviation, dealt to
// the members in an order that depends on the plant's name alone.
func scales(m phenology.Model, members int) []float64 {
	out := make([]float64, members)
	for i := range out {
		p := (float64(i) + 0.5) / float64(members)
		z := math.Sqrt2 * math.Erfinv(2*p-1)
		out[i] = max(1+m.RelativeSD*z, leastScale)
	}
	h := fnv.New64a()
	h.Write([]byte(m.Plant))
	r := rand.New(rand.NewPCG(h.Sum64(), uint64(members)))
	r.Shuffle(members, func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}
