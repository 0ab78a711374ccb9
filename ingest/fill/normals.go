package fill

import (
	"math"
	"math/bits"

	"bloomtide/ingest/weather"
)

// halfWindow is how many days to either side go into a day's normal: 31 days
// smooth away single weather systems and keep the season. Common practice, no
// source.
const halfWindow = 15

// slots is the number of days of a year, 29 February included.
const slots = 366

// normals are a station's means for each day of the year.
type normals struct {
	mean        [slots]float64 // NaN where too few years are known
	persistence float64        // correlation of the anomalies of successive days, 0..0.95
}

// slot numbers the days of the year from 0 so that each calendar day has the
// same number every year: 1 March is always 60.
func slot(d weather.Date) int {
	i := d.DayOfYear() - 1
	if i >= leapDay && !leap(d.Year()) {
		i++
	}
	return i
}

// leapDay is the slot of 29 February.
const leapDay = 59

func leap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

// slotsFrom numbers n days from a start, without asking the calendar for each.
func slotsFrom(start weather.Date, n int) []int16 {
	out := make([]int16, n)
	at, year := slot(start), start.Year()
	for i := range out {
		out[i] = int16(at)
		at++
		if at == leapDay && !leap(year) {
			at++
		}
		if at == slots {
			at, year = 0, year+1
		}
	}
	return out
}

// years is a set of years, one bit each from the first year of a record. Its
// 448 bits hold more than the years that ingest/format lets through.
type years [7]uint64

func (y *years) add(n int) {
	if n >= 0 && n < 64*len(y) {
		y[n/64] |= 1 << (n % 64)
	}
}

func (y *years) union(o *years) {
	for i := range y {
		y[i] |= o[i]
	}
}

func (y *years) size() (n int) {
	for _, w := range y {
		n += bits.OnesCount64(w)
	}
	return n
}

// newNormals takes the normals from a record: for each day of the year the
// mean of all years' values within halfWindow days, where at least need years
// have a value there.
func newNormals(v *values, need int) *normals {
	v.slots = slotsFrom(v.start, len(v.at))
	sum, count, seen := bySlot(v)
	n := &normals{}
	for i := range slots {
		var total float64
		var k int
		var in years
		for j := i - halfWindow; j <= i+halfWindow; j++ {
			at := (j + slots) % slots
			total += sum[at]
			k += count[at]
			in.union(&seen[at])
		}
		n.mean[i] = math.NaN()
		if in.size() >= need {
			n.mean[i] = total / float64(k)
		}
	}
	n.persistence = persistence(v, n)
	return n
}

// bySlot sums the known values of each day of the year and notes their years.
func bySlot(v *values) (sum [slots]float64, count [slots]int, seen [slots]years) {
	year := 0
	for i, t := range v.at {
		s := int(v.slots[i])
		if i > 0 && s == 0 {
			year++
		}
		if math.IsNaN(t) || v.made[i] {
			continue
		}
		sum[s] += t
		count[s]++
		seen[s].add(year)
	}
	return sum, count, seen
}

// persistence returns the lag-one autocorrelation of the anomalies.
func persistence(v *values, n *normals) float64 {
	var xx, xy float64
	last := math.NaN()
	for i, t := range v.at {
		x := t - n.mean[v.slots[i]]
		if v.made[i] {
			x = math.NaN()
		}
		if !math.IsNaN(x) && !math.IsNaN(last) {
			xy += x * last
			xx += last * last
		}
		last = x
	}
	if xx == 0 {
		return 0
	}
	return min(max(xy/xx, 0), 0.95)
}
