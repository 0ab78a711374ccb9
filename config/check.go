package config

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Bounds of a setting that can be meant. Elevations: the shore of the Dead Sea
// and the top of Everest, rounded outward (from memory). The others are our
// own choices.
const (
	lowestM, highestM = -450, 8900 // m
	maxHectares       = 10000      // ha; a circle of 5 km radius has 7854
	maxBroodBoxes     = 6          // boxes
	maxForagers       = 100000     // bees
	maxColonies       = 10000      // colonies
	maxRemindDays     = 60         // d, as package ical has it
)

// check refuses settings that cannot be meant and brings words to their one
// spelling.
func (l *layers) check(s *Settings) error {
	for _, step := range []func(*Settings) error{l.checkPlace, l.checkWords, l.checkHive, l.checkStands, l.checkTuning, l.checkFetch} {
		if err := step(s); err != nil {
			return err
		}
	}
	return nil
}

func (l *layers) fault(key, mend, format string, args ...any) error {
	return &UsageError{Where: l.where(key), What: fmt.Sprintf(format, args...), Mend: mend}
}

// within refuses a number outside lo..hi. NaN stands for not told.
func (l *layers) within(key string, x, lo, hi float64, mend string) error {
	if math.IsNaN(x) || x >= lo && x <= hi {
		return nil
	}
	return l.fault(key, mend, "%g is outside %g..%g", x, lo, hi)
}

func (l *layers) checkPlace(s *Settings) error {
	if err := l.within("lat", s.Lat, -90, 90, "give degrees, south of the equator negative; are latitude and longitude swapped?"); err != nil {
		return err
	}
	if err := l.within("lon", s.Lon, -180, 180, "give degrees, west of Greenwich negative"); err != nil {
		return err
	}
	return l.within("elevation", s.ElevationM, lowestM, highestM, "give metres above sea level; is it in feet? divide by 3.28")
}

func (l *layers) checkWords(s *Settings) error {
	for _, w := range []struct {
		key   string
		value *string
		words []string
	}{
		{"unit", &s.Unit, unitWords}, {"units", &s.Units, systemWords}, {"format", &s.Format, formatWords},
	} {
		if err := l.word(w.key, w.value, w.words); err != nil {
			return err
		}
	}
	return nil
}

// word brings a setting to one of the words it may take, capitals aside.
func (l *layers) word(key string, value *string, words []string) error {
	for _, w := range words {
		if strings.EqualFold(w, strings.TrimSpace(*value)) {
			*value = w
			return nil
		}
	}
	mend := "use " + strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
	switch {
	case key == "units" && slices.Contains(unitWords, *value):
		mend += "; the unit of a weather file is set by unit"
	case key == "unit" && slices.Contains(systemWords, *value):
		mend += "; what is printed is set by units"
	}
	return l.fault(key, mend, "unknown %s %q", key, *value)
}

func (l *layers) checkHive(s *Settings) error {
	for _, b := range []struct{ key, name string }{
		{"hive.brood_box", s.Hive.BroodBox}, {"hive.super", s.Hive.Super},
	} {
		_, err := BoxByName(b.name)
		if e := new(UsageError); errors.As(err, &e) {
			return &UsageError{Where: l.where(b.key), What: e.What, Mend: e.Mend}
		} else if err != nil {
			return err
		}
	}
	for _, n := range []struct {
		key    string
		x      float64
		lo, hi float64
		mend   string
	}{
		{"hive.brood_boxes", float64(s.Hive.BroodBoxes), 1, maxBroodBoxes, "a super goes on over a brood box: count the boxes below the excluder"},
		{"hive.foragers", s.Hive.Foragers, 1, maxForagers, "a strong colony has about 20000"},
		{"hive.colonies_in_reach", s.Hive.ColoniesInReach, 1, maxColonies, "count your own and your neighbours'"},
		{"hive.most_supers", float64(s.Hive.MostSupers), 0, mostSupers, "count the supers that you own for the hive, 0 for as many as it takes"},
		{"hive.foundation", s.Hive.Foundation, 0, 1, "0 means that all comb is drawn, 1 that all is foundation"},
		{"reminder.days_before", float64(s.Reminder.DaysBefore), 0, maxRemindDays, "0 reminds on the day itself"},
		{"reminder.hour", float64(s.Reminder.Hour), 1, 23, "give a full hour of the day"},
	} {
		if !(n.x >= n.lo && n.x <= n.hi) {
			return l.fault(n.key, n.mend, "%g is outside %g..%g", n.x, n.lo, n.hi)
		}
	}
	return nil
}

func (l *layers) checkStands(s *Settings) error {
	if s.Cover != "" && len(s.Stands) > 0 {
		return l.fault("cover", "keep one: move the stands into the list as lines plant,hectares, or take cover away", "%q is named and stands are listed too", s.Cover)
	}
	for i, st := range s.Stands {
		if strings.TrimSpace(st.Plant) == "" {
			return &UsageError{Where: l.standLine(i), What: "no plant", Mend: `write "- plant: white clover"`}
		}
		if !(st.Hectares > 0 && st.Hectares <= maxHectares) {
			return &UsageError{Where: l.standLine(i),
				What: fmt.Sprintf("%g hectares of %s is not above 0 and up to %d", st.Hectares, st.Plant, maxHectares),
				Mend: "give the hectares that its flowers cover within reach; 1 ha is 100 m × 100 m"}
		}
	}
	return nil
}
