package config

import (
	"fmt"
	"hash/fnv"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
)

// Apiary returns what package forecast works on: all plants of the table, and
// the stands that the keeper has listed. Without the hectares of any, the
// plants Unmeasured stand in, else the starter plants of the table, one hectare
// each, and the apiary is Relative.
// The error is a *UsageError that suggests a near miss.
func (s Settings) Apiary(plants []Plant) (forecast.Apiary, error) {
	a := forecast.Apiary{ID: slug(s.Place), Name: strings.TrimSpace(s.Place)}
	if a.Name == "" {
		a.Name = "my apiary"
	}
	for _, p := range plants {
		a.Plants = append(a.Plants, p.Model)
	}
	var err error
	if a.Setup, err = s.Hive.setup(); err != nil {
		return forecast.Apiary{}, err
	}
	a.Setup.Tuning, a.Setup.Rules = s.tuning()
	a.Unmeasured = s.unmeasured()
	if len(s.Stands) == 0 {
		a.Relative, a.Stands = true, starters(plants)
		if len(a.Unmeasured) > 0 {
			a.Stands = listed(a.Unmeasured, plants)
		}
		return a, nil
	}
	a.Stands, err = s.stands(plants)
	return a, err
}

// stands matches the keeper's list with the table.
func (s Settings) stands(plants []Plant) ([]flow.Stand, error) {
	var out []flow.Stand
	for _, st := range s.Stands {
		p, ok := findPlant(st.Plant, plants)
		if !ok {
			return nil, &UsageError{Where: s.standsIn(), What: fmt.Sprintf("no plant of the forage table is called %q", st.Plant), Mend: mendPlant(st.Plant, plants)}
		}
		out = append(out, flow.Stand{Plant: p.Model.Plant, Hectares: st.Hectares, PeakKgPerHaDay: p.PeakKgPerHaDay})
	}
	return out, nil
}

func (s Settings) standsIn() string {
	if s.SourceFile == "" {
		return "stands"
	}
	return s.SourceFile + ": stands"
}

// starters returns one hectare of each starter plant that gives nectar, or of
// every plant that does where the table marks no starter.
func starters(plants []Plant) []flow.Stand {
	var marked, all []flow.Stand
	for _, p := range plants {
		if p.PeakKgPerHaDay <= 0 {
			continue
		}
		st := flow.Stand{Plant: p.Model.Plant, Hectares: 1, PeakKgPerHaDay: p.PeakKgPerHaDay}
		all = append(all, st)
		if p.Starter {
			marked = append(marked, st)
		}
	}
	if len(marked) > 0 {
		return marked
	}
	return all
}

// listed returns one hectare of each plant named that gives nectar.
func listed(names []string, plants []Plant) []flow.Stand {
	var out []flow.Stand
	for _, name := range names {
		if p, ok := findPlant(name, plants); ok && p.PeakKgPerHaDay > 0 {
			out = append(out, flow.Stand{Plant: p.Model.Plant, Hectares: 1, PeakKgPerHaDay: p.PeakKgPerHaDay})
		}
	}
	return out
}

// setup looks the boxes up. Empty fields are left to hive.Setup's defaults.
func (h HiveSettings) setup() (hive.Setup, error) {
	s := hive.Setup{BroodBoxes: h.BroodBoxes, Foragers: h.Foragers, ColoniesInReach: h.ColoniesInReach, MostSupers: h.MostSupers, Foundation: h.Foundation}
	for _, b := range []struct {
		name string
		to   *hive.Box
	}{{h.BroodBox, &s.BroodBox}, {h.Super, &s.Super}} {
		if b.name == "" {
			continue
		}
		box, err := BoxByName(b.name)
		if err != nil {
			return hive.Setup{}, err
		}
		*b.to = box
	}
	return s, nil
}

// slug returns a stable name of lower case letters, digits and hyphens. Where
// letters had to be dropped a checksum keeps two places apart.
func slug(place string) string {
	var b strings.Builder
	dropped := false
	for _, r := range strings.ToLower(strings.TrimSpace(place)) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case r > 127:
			dropped = true
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	s := strings.Trim(b.String(), "-")
	if dropped {
		h := fnv.New32a()
		h.Write([]byte(strings.TrimSpace(place)))
		s = strings.Trim(fmt.Sprintf("%s-%08x", s, h.Sum32()), "-")
	}
	if s == "" {
		return "apiary"
	}
	return s
}
