package demo

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"bloomtide/ingest/weather"
)

// Climate describes invented weather. Every number is made up.
type Climate struct {
	MeanC       float64 // mean of the year, °C
	HalfRangeK  float64 // half the difference between the warmest and the coldest day's normal, K
	ColdestDay  float64 // day of the year with the lowest normal
	YearK       float64 // standard deviation of a whole year's anomaly, K
	DayK        float64 // standard deviation of a day's anomaly, K
	Memory      float64 // share of a day's anomaly that the next day keeps, 0 to 1
	DailyRangeK float64 // mean difference of maximum and minimum, K
	WetShare    float64 // share of days with rain, 0 to 1
	RainMm      float64 // mean rain of a wet day, mm
}

const tropicalYear = 365.2425 // days

// Generate writes the invented record of a county as CSV: a sine over the
// year, an anomaly for each year, a first-order autoregressive anomaly for each
// day, a daily range that shrinks on wet days, and rain with an exponential
// amount. All chance comes from the county's seed.
func Generate(w io.Writer, c County) error {
	if _, err := fmt.Fprintln(w, "date,tmin,tmax,rain"); err != nil {
		return err
	}
	k := c.Climate
	r := rand.New(rand.NewPCG(c.Seed, 0))
	year, anomalyYear, anomaly := 0, 0.0, 0.0
	for d := firstDay; d < Issue; d++ {
		if d.Year() != year {
			year, anomalyYear = d.Year(), k.YearK*r.NormFloat64()
		}
		anomaly = k.Memory*anomaly + math.Sqrt(1-k.Memory*k.Memory)*k.DayK*r.NormFloat64()
		mean := k.normal(d) + anomalyYear + anomaly
		span, rain := k.DailyRangeK*(0.6+0.8*r.Float64()), 0.0
		if r.Float64() < k.WetShare {
			rain = k.RainMm * r.ExpFloat64()
			span *= 0.6
		}
		if _, err := fmt.Fprintf(w, "%s,%.1f,%.1f,%.1f\n", d, mean-span/2, mean+span/2, rain); err != nil {
			return err
		}
	}
	return nil
}

// normal is the sine of the year, °C.
func (k Climate) normal(d weather.Date) float64 {
	phase := 2 * math.Pi * (float64(d.DayOfYear()) - k.ColdestDay) / tropicalYear
	return k.MeanC - k.HalfRangeK*math.Cos(phase)
}
