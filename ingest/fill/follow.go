package fill

import "math"

// A station departs from its neighbours for weeks: snow that stays, a dry
// summer, an instrument that was moved. Both numbers are our choice, made on the
// four records of package ingest's test of neighbours, where 30 to 70 days and 30
// to 80 days all gave nearly the same; there the error of gaps of weeks fell by 1 to 2 %.
const (
	followDays = 45 // after so many days a departure counts for a share of 1/e
	doubtDays  = 40 // days of departure that count as much as the assumption of none
)

// blindDays is how far from a day departures begin of which unfollowed learns
// what is lost where those beside it are missing: our choice, the middle of a gap
// of two months.
const blindDays = 30

// follow adds to the estimate of every day the mean departure of the station on
// the days around it, the day itself left out, each weighed by its distance in
// time, and shrunk to nothing where few days are known (the mean of a normal
// value known from few others: empirical Bayes, common practice, no source).
func (n *neighbours) follow(y *values) {
	departure := make([]float64, len(n.mean))
	for i, t := range y.at {
		departure[i] = t - n.mean[i]
	}
	around := newSurroundings(departure)
	n.weight = make([]float64, len(n.mean))
	var near, blind, weight, blindWeight, known float64
	for i, d := range departure {
		x, w := around.mean(i, 0)
		n.mean[i] += x
		n.weight[i] = w
		if math.IsNaN(d) {
			continue
		}
		far, farWeight := around.mean(i, blindDays)
		near, blind = near+(d-x)*(d-x), blind+(d-far)*(d-far)
		weight, blindWeight = weight+w, blindWeight+farWeight
		known++
	}
	n.usual = weight / max(1, known)
	if weight > blindWeight {
		n.lost = max(0, blind-near) / (weight - blindWeight)
	}
}

// unfollowed is what is to be added to the square of the expected error of a day
// around which less is known than usual, K².
func (n *neighbours) unfollowed(i int) float64 { return n.lost * max(0, n.usual-n.weight[i]) }

// surroundings are the weighed sums of departures before and after each day, and
// of the weights of those that are known.
type surroundings struct{ before, weightBefore, after, weightAfter []float64 }

func newSurroundings(departure []float64) *surroundings {
	days := len(departure)
	var s surroundings
	s.before, s.weightBefore = gather(departure, func(i int) int { return i })
	s.after, s.weightAfter = gather(departure, func(i int) int { return days - 1 - i })
	return &s
}

// mean returns the shrunk mean of the departures more than gap days from a day,
// and what they weigh.
func (s *surroundings) mean(i, gap int) (x, weight float64) {
	fade := math.Exp(-float64(gap) / followDays)
	if j := i - gap; j >= 0 {
		x, weight = x+fade*s.before[j], weight+fade*s.weightBefore[j]
	}
	if j := i + gap; j < len(s.after) {
		x, weight = x+fade*s.after[j], weight+fade*s.weightAfter[j]
	}
	return x / (weight + doubtDays), weight
}

// gather sums the weighed departures of the days before each, and their weights;
// day gives the order in which they follow each other.
func gather(departure []float64, day func(int) int) (sum, weight []float64) {
	sum, weight = make([]float64, len(departure)), make([]float64, len(departure))
	fade := math.Exp(-1. / followDays)
	var s, w float64
	for k := range departure {
		i := day(k)
		s, w = s*fade, w*fade
		sum[i], weight[i] = s, w
		if d := departure[i]; !math.IsNaN(d) {
			s += d
			w++
		}
	}
	return sum, weight
}
