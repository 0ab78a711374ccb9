package fill

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/mat"
)

// combination weighs the estimates of several neighbours by the covariance of
// their errors, month by month: the weights are those of the least squared error
// among all that add up to one (best linear unbiased combination of forecasts:
// Bates and Granger 1969, Oper. Res. Q. 20:451, from memory). Weights by the
// inverse of the squared errors alone would count two neighbours that err
// together twice, and let distant ones spoil what the near one tells.
type combination struct {
	fits    []fitted
	months  []uint8
	product [12][][]float64 // sums of products of two neighbours' errors, K², by month
	count   [12][][]float64 // days of them
	known   [12]map[uint][]float64
}

// enoughDays is how many days in common a covariance needs, our choice: below
// it the whole year speaks for the quarter, and after that errors count as
// independent.
const enoughDays = 30

// newCombination measures the errors of fits on the days that y has.
func newCombination(y *values, months []uint8, fits []fitted) *combination {
	c := &combination{fits: fits, months: months}
	for m := range c.product {
		c.product[m], c.count[m], c.known[m] = square(len(fits)), square(len(fits)), map[uint][]float64{}
	}
	errs := make([]float64, len(fits))
	for i, t := range y.at {
		if math.IsNaN(t) {
			continue
		}
		for a := range fits {
			errs[a] = fits[a].estimate[i] - t
			for b := range a + 1 {
				if p := errs[a] * errs[b]; !math.IsNaN(p) {
					c.product[months[i]][a][b] += p
					c.count[months[i]][a][b]++
				}
			}
		}
	}
	return c
}

func square(n int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	return out
}

// covariance returns that of the errors of neighbours a ≥ b in a month and the
// two beside it, K².
func (c *combination) covariance(month, a, b int) float64 {
	var product, count float64
	for _, m := range [3]int{month, (month + 1) % 12, (month + 11) % 12} {
		product += c.product[m][a][b]
		count += c.count[m][a][b]
	}
	if count < enoughDays {
		product, count = 0, 0
		for m := range 12 {
			product += c.product[m][a][b]
			count += c.count[m][a][b]
		}
	}
	if count < enoughDays && a != b {
		return 0
	}
	return product / max(1, count)
}

// at returns the estimate of a day, NaN where no neighbour has it.
func (c *combination) at(i int) float64 {
	var there uint // a bit for each neighbour that has the day
	for a := range c.fits {
		if !math.IsNaN(c.fits[a].estimate[i]) {
			there |= 1 << a
		}
	}
	if there == 0 {
		return math.NaN()
	}
	var sum float64
	for a, w := range c.weights(int(c.months[i]), there) {
		if w != 0 { // else the neighbour may not have the day
			sum += w * c.fits[a].estimate[i]
		}
	}
	return sum
}

// weights returns those of the neighbours that are there, by neighbour. A
// neighbour whose weight would be negative is left out, the most negative first.
func (c *combination) weights(month int, there uint) []float64 {
	if w, ok := c.known[month][there]; ok {
		return w
	}
	out := make([]float64, len(c.fits))
	for left := there; ; {
		w := c.best(month, left)
		least := 0
		for k := range w {
			if w[k] < w[least] {
				least = k
			}
		}
		if !(w[least] < 0) {
			for k, a := range members(left) {
				out[a] = w[k]
			}
			break
		}
		left &^= 1 << members(left)[least]
	}
	c.known[month][there] = out
	return out
}

// members lists the numbers of the bits set, rising.
func members(set uint) (out []int) {
	for ; set != 0; set &= set - 1 {
		out = append(out, bits.TrailingZeros(set))
	}
	return out
}

// best returns the weights of a set of neighbours, in the order of members:
// the covariance times them is the same for all. Where it cannot be solved they
// are the inverse of the squared errors.
func (c *combination) best(month int, set uint) []float64 {
	who := members(set)
	n := len(who)
	cov, ones := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for j := range n {
		ones.SetVec(j, 1)
		for k := range j + 1 {
			v := c.covariance(month, who[j], who[k])
			if j == k {
				const least = 0.01 // K², a tenth of a degree: what rounding alone leaves
				v += least
			}
			cov.SetSym(j, k, v)
		}
	}
	var w mat.VecDense
	var chol mat.Cholesky
	if !chol.Factorize(cov) || chol.SolveVecTo(&w, ones) != nil || !(mat.Sum(&w) > 0) {
		w.CloneFromVec(ones)
		for j := range n {
			w.SetVec(j, 1/cov.At(j, j))
		}
	}
	total := mat.Sum(&w)
	out := make([]float64, n)
	for j := range out {
		out[j] = w.AtVec(j) / total
	}
	return out
}
