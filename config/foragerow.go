package config

import (
	"fmt"
	"strings"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Bounds of a believable row. Our own choices, wide enough for any plant: the
// last asters of Ohio need 1400 °C·d above 10 °C, a mean of 30 °C the year
// round gives 11 000 above 0 °C.
const (
	maxSum        = 20000 // °C·d or °F·d
	maxBloomDays  = 365   // d
	minBase       = -20   // °C or °F
	maxBase       = 120   // °F
	maxNectarRate = 500   // kg sugar/ha/d; the highest measured is 120
)

// plant turns a line into a Plant.
func (r forageRow) plant(t *table) (Plant, error) {
	p := Plant{
		Place: strings.TrimSpace(r.Place), Note: strings.TrimSpace(r.Note),
		BloomDaysSource: strings.TrimSpace(r.BloomDaysSource),
	}
	p.Model.Plant, p.Model.Taxon = strings.TrimSpace(r.Plant), strings.TrimSpace(r.Taxon)
	if p.Model.Plant == "" {
		return p, t.at("plant", r.Plant, "is empty", "name the plant as you say it")
	}
	steps := []func(*table, *Plant) error{r.worth, r.clock, r.stages, r.days, r.nectar, r.starter}
	if r.inDays() {
		steps[1], steps[2] = r.calendar, r.interval
	}
	for _, step := range steps {
		if err := step(t, &p); err != nil {
			return p, err
		}
	}
	return p, nil
}

// worth reads status, source and the spread over places.
func (r forageRow) worth(t *table, p *Plant) (err error) {
	if p.Model.Status, err = status(t, "status", r.Status); err != nil {
		return err
	}
	if p.Model.Source = strings.TrimSpace(r.Source); p.Model.Source == "" {
		return t.at("source", r.Source, "is empty", `say where the figures come from, such as "my own records 2020 to 2025"`)
	}
	if x, err := t.numberOr("relative_sd", r.RelativeSD, 0, 1e6, 0); err != nil {
		return err
	} else if x >= 1 {
		return t.at("relative_sd", r.RelativeSD, "is not a share below 1", "write 0.15 for 15 %")
	}
	p.Model.RelativeSD, err = t.numberOr("relative_sd", r.RelativeSD, 0, 1, spread(p.Model.Status))
	return err
}

// spread returns the relative standard deviation over places of degree days
// whose row does not give one. All are estimates: 0.15 and 0.30 for a row
// read in a source and for one without, and one between the two.
func spread(s phenology.Status) float64 {
	switch s {
	case phenology.Published, phenology.Fitted:
		return 0.15
	case phenology.FromMemory:
		return 0.20
	default:
		return 0.30
	}
}

func status(t *table, column, value string) (phenology.Status, error) {
	known := []string{string(phenology.Published), string(phenology.Fitted), string(phenology.FromMemory), string(phenology.UnverifiedPrior)}
	v := fold(value)
	for _, k := range known {
		if v == k {
			return phenology.Status(k), nil
		}
	}
	if v == "" {
		return "", t.at(column, value, "is empty", "write one of "+strings.Join(known, ", "))
	}
	mend := "write one of " + strings.Join(known, ", ")
	return "", t.at(column, value, "is not a status", mend)
}

// clock reads method, thresholds and biofix.
func (r forageRow) clock(t *table, p *Plant) (err error) {
	c := &p.Model.Clock
	if c.Method, err = phenology.ParseMethod(strings.TrimSpace(r.Method)); err != nil {
		return t.at("method", r.Method, "is not a degree-day method", err.Error())
	}
	if p.Model.Biofix, err = phenology.ParseBiofix(r.Biofix); err != nil {
		return t.at("biofix", r.Biofix, "is not a month and a day", `write it as "Jan 1" or "Mar 15", or as a daylength such as "light 11.5 h"`)
	}
	if c.Light, err = phenology.ParseLight(r.Light); err != nil {
		return t.at("light", r.Light, "is not a weight of light", err.Error())
	}
	if r.After != "" {
		return t.at("after", r.After, "does not go with degree days", "write days as the unit, or leave it empty")
	}
	fahrenheit, err := r.fahrenheit(t)
	if err != nil {
		return err
	}
	base, err := t.number("base", r.Base, minBase, maxBase)
	if err != nil {
		return err
	}
	upper, err := t.numberOr("upper", r.Upper, minBase, maxBase, minBase)
	if err != nil {
		return err
	}
	if given := strings.TrimSpace(r.Upper) != ""; given && upper <= base {
		return t.at("upper", r.Upper, fmt.Sprintf("is not above base %g", base), "leave it empty if there is no upper threshold")
	}
	if !fahrenheit && base > float64(weather.Hottest) {
		return t.at("base", r.Base, "is hotter than any air in °C", "write Fdd as the unit if thresholds are in °F")
	}
	c.Thresholds = phenology.Thresholds{Lower: weather.Celsius(base), Upper: weather.Celsius(upper)}
	if fahrenheit {
		c.Thresholds = phenology.Thresholds{Lower: weather.FromFahrenheit(base), Upper: weather.FromFahrenheit(upper)}
	}
	if strings.TrimSpace(r.Upper) == "" {
		c.Thresholds.Upper = c.Thresholds.Lower
	}
	return nil
}

// fahrenheit tells the unit of sums and thresholds.
func (r forageRow) fahrenheit(t *table) (bool, error) {
	switch fold(r.Unit) {
	case "cdd":
		return false, nil
	case "fdd":
		return true, nil
	}
	return false, t.at("unit", r.Unit, "is not a unit of degree days", "write Cdd for °C·d and a base in °C, Fdd for °F·d and a base in °F, days for days after another plant or after the biofix")
}

// stages reads first, full and end of bloom.
func (r forageRow) stages(t *table, p *Plant) error {
	fahrenheit, err := r.fahrenheit(t)
	if err != nil {
		return err
	}
	scale := 1.0
	if fahrenheit {
		scale = phenology.PerFahrenheit
	}
	last, after := 0.0, "0"
	for _, s := range []struct {
		column, value string
		to            *phenology.DegreeDays
	}{
		{"onset", r.Onset, &p.Model.Onset},
		{"full", r.Full, &p.Model.Peak},
		{"end", r.End, &p.Model.End},
	} {
		if strings.TrimSpace(s.value) == "" && s.column != "onset" {
			continue
		}
		x, err := t.number(s.column, s.value, -maxSum, maxSum)
		if err != nil {
			return err
		}
		if x <= last {
			return t.at(s.column, s.value, "is not above "+after, "degree days grow from onset to full to end; leave full or end empty if not known")
		}
		*s.to = phenology.DegreeDays(x * scale)
		last, after = x, fmt.Sprintf("%s %g", s.column, x)
	}
	return nil
}

// days reads the length of bloom.
func (r forageRow) days(t *table, p *Plant) (err error) {
	p.Model.BloomDays, err = t.number("bloom_days", r.BloomDays, 1, maxBloomDays)
	return err
}

// nectar reads the rate, which needs a status and a source of its own.
func (r forageRow) nectar(t *table, p *Plant) (err error) {
	if strings.TrimSpace(r.Nectar) == "" {
		return nil
	}
	if p.PeakKgPerHaDay, err = t.number("nectar_kg_ha_day", r.Nectar, 0, maxNectarRate); err != nil {
		return err
	}
	if p.NectarStatus, err = status(t, "nectar_status", r.NectarStatus); err != nil {
		return err
	}
	if p.NectarSource = strings.TrimSpace(r.NectarSource); p.NectarSource == "" {
		return t.at("nectar_source", r.NectarSource, "is empty", "say where the rate comes from, or leave the rate empty")
	}
	return nil
}

func (r forageRow) starter(t *table, p *Plant) error {
	switch fold(r.Starter) {
	case "yes":
		p.Starter = true
	case "", "no":
	default:
		return t.at("starter", r.Starter, "is neither yes nor empty", "write yes or leave it empty")
	}
	return nil
}
