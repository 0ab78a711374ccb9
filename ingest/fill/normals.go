package fill

import (
	"math"

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

// slot numbers the days of the year so that each calendar day has the same
// number every year: 1 March is always 60.
func slot(d weather.Date) int {
	i := d.DayOfYear() - 1
	if i >= 59 && d.Year()%4 != 0 || i >= 59 && d.Year()%100 == 0 && d.Year()%400 != 0 {
		i++
	}
	return i
}

func (n *normals) of(d weather.Date) float64 { return n.mean[slot(d)] }

// newNormals takes the normals from a record: for each day of the year the
// mean of all years' values within halfWindow days, where at least years years
// have a value there.
func newNormals(v *values, years int) *normals {
	sum, count, seen := bySlot(v)
	n := &normals{}
	for i := range slots {
		var total float64
		var k int
		in := map[int]bool{}
		for j := i - halfWindow; j <= i+halfWindow; j++ {
			at := (j + slots) % slots
			total += sum[at]
			k += count[at]
			for _, y := range seen[at] {
				in[y] = true
			}
		}
		n.mean[i] = math.NaN()
		if len(in) >= years {
			n.mean[i] = total / float64(k)
		}
	}
	n.persistence = persistence(v, n)
	return n
}

// bySlot sums the known values of each day of the year and lists their years.
func bySlot(v *values) (sum [slots]float64, count [slots]int, seen [slots][]int) {
	for i, t := range v.at {
		if math.IsNaN(t) || v.made[i] {
			continue
		}
		d := v.start + weather.Date(i)
		s := slot(d)
		sum[s] += t
		count[s]++
		seen[s] = append(seen[s], d.Year())
	}
	return sum, count, seen
}

// persistence returns the lag-one autocorrelation of the anomalies.
func persistence(v *values, n *normals) float64 {
	var xx, xy float64
	last := math.NaN()
	for i, t := range v.at {
		x := t - n.of(v.start+weather.Date(i))
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
