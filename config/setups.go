package config

import (
	"bytes"
	_ "embed" // for the table
	"errors"
	"io"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
)

//go:embed setups.csv
var setupsCSV []byte

// SetUpsCSV returns the set-ups that a trial compares without any of the
// keeper's own, as CSV to start from.
func SetUpsCSV() []byte { return bytes.Clone(setupsCSV) }

// setupRow is a line of a table of set-ups.
type setupRow struct {
	Name       string `csv:"name"`
	BroodBox   string `csv:"brood_box"`
	BroodBoxes string `csv:"brood_boxes"`
	Super      string `csv:"super"`
	UpFront    string `csv:"up_front"`
	MostSupers string `csv:"most_supers"`
	VisitDays  string `csv:"visit_days"`
	Foundation string `csv:"foundation"`
}

// Bounds of a believable set-up. Our own choices.
const (
	mostSupers    = 12 // boxes
	mostVisitDays = 90 // d
)

// ReadSetUps reads a table of hive set-ups: one row a set-up. An empty
// most_supers means as many as it takes, an empty visit_days never. The error
// is a *weather.SyntaxError with line and column.
func ReadSetUps(name string, r io.Reader) ([]forecast.SetUp, error) {
	known := []string{"name", "brood_box", "brood_boxes", "super", "up_front", "most_supers", "visit_days", "foundation"}
	t, err := openTable(name, r, known, known[:4])
	if err != nil {
		return nil, err
	}
	var out []forecast.SetUp
	for {
		var row setupRow
		if err := t.next(&row); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		s, err := row.setUp(t)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return nil, t.whole("no set-up in it", "write one row for each")
	}
	return out, nil
}

func (r setupRow) setUp(t *table) (forecast.SetUp, error) {
	s := forecast.SetUp{Name: strings.TrimSpace(r.Name)}
	if s.Name == "" {
		return s, t.at("name", r.Name, "is empty", "name the set-up")
	}
	for _, b := range []struct {
		column, name string
		to           *hive.Box
	}{{"brood_box", r.BroodBox, &s.Hive.BroodBox}, {"super", r.Super, &s.Hive.Super}} {
		box, err := BoxByName(b.name)
		if err != nil {
			return s, t.at(b.column, b.name, "is no box that is known", "use one of "+strings.Join(boxNames(), "; "))
		}
		*b.to = box
	}
	var numbers [5]float64
	for i, n := range []struct {
		column, value string
		lo, hi, empty float64
	}{
		{"brood_boxes", r.BroodBoxes, 1, maxBroodBoxes, 0}, {"up_front", r.UpFront, 0, mostSupers, 1},
		{"most_supers", r.MostSupers, 0, mostSupers, 0}, {"visit_days", r.VisitDays, 0, mostVisitDays, 0}, {"foundation", r.Foundation, 0, 1, 0},
	} {
		var err error
		if n.column == "brood_boxes" && strings.TrimSpace(n.value) == "0" {
			return s, t.at(n.column, n.value, "leaves no box for the brood", "a super goes on over a brood box: give at least 1")
		}
		if n.column == "brood_boxes" {
			numbers[i], err = t.number(n.column, n.value, n.lo, n.hi)
		} else {
			numbers[i], err = t.numberOr(n.column, n.value, n.lo, n.hi, n.empty)
		}
		if err != nil {
			return s, err
		}
	}
	s.Hive.BroodBoxes, s.Hive.Foundation = int(numbers[0]), numbers[4]
	s.Practice = hive.Practice{Name: s.Name, Upfront: int(numbers[1]), MostSupers: int(numbers[2]), VisitDays: int(numbers[3])}
	if most := s.Practice.MostSupers; most > 0 && s.Practice.Upfront > most {
		return s, t.at("up_front", r.UpFront, "is more than most_supers", "count the supers that the keeper owns for the hive in most_supers")
	}
	return s, nil
}

// boxNames are the names of the boxes that are known.
func boxNames() []string {
	boxes, err := Boxes()
	if err != nil {
		return nil
	}
	names := make([]string, len(boxes))
	for i, b := range boxes {
		names[i] = b.Name
	}
	return names
}
