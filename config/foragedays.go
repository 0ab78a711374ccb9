package config

import (
	"strings"

	"bloomtide/phenology"
)

// inDays reports whether the row counts days and not degree days.
func (r forageRow) inDays() bool { return fold(r.Unit) == "days" }

// calendar reads the day from which a row in days counts, and wants what belongs
// to degree days to be empty.
func (r forageRow) calendar(t *table, p *Plant) (err error) {
	for _, f := range []struct{ column, value string }{
		{"full", r.Full}, {"end", r.End}, {"base", r.Base}, {"upper", r.Upper}, {"method", r.Method}, {"light", r.Light},
	} {
		if strings.TrimSpace(f.value) != "" {
			return t.at(f.column, f.value, "does not go with days", "leave it empty: onset counts the days and bloom_days tells how long bloom lasts")
		}
	}
	after, biofix := strings.TrimSpace(r.After), strings.TrimSpace(r.Biofix)
	switch {
	case after != "" && biofix != "":
		return t.at("biofix", r.Biofix, "stands beside a plant to come after", "leave one of biofix and after empty")
	case after != "":
		p.after = after
		return nil
	}
	if p.Model.Biofix, err = phenology.ParseBiofix(r.Biofix); err != nil || p.Model.Biofix.LightH > 0 {
		return t.at("biofix", r.Biofix, "is not a month and a day", `write the date as "Aug 20", or name a plant under after`)
	}
	return nil
}

// interval reads the days. Those after a biofix are counted from the start of
// the plant year instead, so that relative_sd is a share of one and the same
// number whichever way the date is written.
func (r forageRow) interval(t *table, p *Plant) error {
	const aYear = 2001 // not a leap year
	days, err := t.number("onset", r.Onset, 0, maxBloomDays)
	if err != nil {
		return err
	}
	if p.after == "" {
		const north = 1 // any latitude there
		days += float64(p.Model.Biofix.In(north, aYear) - phenology.YearStart(north, aYear))
		p.Model.Biofix = phenology.Biofix{}
		if days > maxBloomDays-1 {
			return t.at("onset", r.Onset, "runs into the next year", "count from a later biofix")
		}
	}
	p.Model.AfterDays = days
	return nil
}

// afterError is what to say where the plant under after is not found.
func (r forageRow) afterError(t *table) error {
	if !r.inDays() || strings.TrimSpace(r.After) == "" {
		return nil
	}
	return t.at("after", r.After, "is no plant of this table with degree days of its own", "name one as its row does")
}

// followAll joins rows in days with the plants that they come after. late holds
// the error of each plant whose other is not found.
func followAll(plants []Plant, late []error) (bad []error) {
	for i, p := range plants {
		if p.after == "" {
			continue
		}
		other, ok := findPlant(p.after, plants)
		if !ok || other.after != "" || other.Model.Onset == 0 {
			bad = append(bad, late[i])
			continue
		}
		m := &plants[i].Model
		m.Clock, m.Biofix, m.Onset = other.Model.Clock, other.Model.Biofix, other.Model.Onset
	}
	return bad
}
