package records

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"bloomtide/ingest/weather"
)

// Entry is one line of a hive log: what the keeper did or saw.
type Entry struct {
	Date   weather.Date
	What   string  // one of LogWords
	Amount float64 // frames, kg or L, as the word has it; 0 where it takes none
	Line   int     // in the file, from 1
}

// LogOptions bound what a hive log may say.
type LogOptions struct {
	Name        string // of the file, for messages
	SuperFrames int    // frames of a super
	NestFrames  int    // frames of one brood box
	BroodBoxes  int    // brood boxes at the start; 0: the log itself puts the first one on
}

// Bounds of believable amounts. Our own choices, but for the frames, which the
// boxes give.
const (
	mostStoresKg = 80.0  // kg in the brood boxes
	mostCropKg   = 300.0 // kg in one harvest
	mostSyrupL   = 60.0  // L in one feeding
)

// word is a word of the log with what its amount is.
type word struct {
	unit  string // "" for none
	most  float64
	blank float64 // what an empty amount means
}

// words returns the words of the log.
func (o LogOptions) words(boxes int) map[string]word {
	nest := float64(o.NestFrames * boxes)
	super := float64(o.SuperFrames)
	return map[string]word{
		"super-on":     {"frames of it that are drawn", super, super},
		"supers-off":   {},
		"excluder-on":  {},
		"excluder-off": {},
		"brood-box-on": {},
		"frames-out":   {"frames", nest, -1},
		"harvest":      {"kg", mostCropKg, -1},
		"syrup":        {"L", mostSyrupL, -1},
		"stores":       {"kg in the brood boxes", mostStoresKg, -1},
		"brood":        {"frames with brood", nest, -1},
		"bees":         {"frames covered with bees", 2 * nest, -1},
		"swarm":        {},
	}
}

// LogWords returns the words of the log in the order of the alphabet.
func LogWords() []string {
	var out []string
	for w := range (LogOptions{}).words(0) {
		out = append(out, w)
	}
	slices.Sort(out)
	return out
}

// ReadHiveLog reads what the keeper did and saw, a CSV file with the columns
//
//	date,what[,amount][,note]
//
// in the order of their dates. The error is a *weather.SyntaxError that names
// line, value and mend, or what the reader returned.
func ReadHiveLog(r io.Reader, o LogOptions) ([]Entry, error) {
	known := []string{"date", "what", "amount", "note"}
	s, err := openSheet(o.Name, r, known, known[:2])
	if err != nil {
		return nil, err
	}
	l := log{sheet: s, o: o, boxes: o.BroodBoxes}
	for {
		if err := s.next(); errors.Is(err, io.EOF) {
			return l.entries, nil
		} else if err != nil {
			return nil, err
		}
		if err := l.take(); err != nil {
			return nil, err
		}
	}
}

// log is a hive log being read.
type log struct {
	*sheet
	o       LogOptions
	boxes   int // brood boxes so far
	entries []Entry
}

// take reads the present line.
func (l *log) take() error {
	e := Entry{What: strings.ToLower(l.value("what")), Line: l.line}
	var err error
	if e.Date, err = l.date(); err != nil {
		return err
	}
	if n := len(l.entries); n > 0 && e.Date < l.entries[n-1].Date {
		return l.fault("date", "is before the line above", "sort the lines by date")
	}
	w, ok := l.o.words(max(l.boxes, 1))[e.What]
	if !ok {
		return l.fault("what", "is no word of a hive log", "use one of "+strings.Join(LogWords(), ", "))
	}
	if err := l.order(e); err != nil {
		return err
	}
	if e.Amount, err = l.amount(e.What, w); err != nil {
		return err
	}
	l.entries = append(l.entries, e)
	return nil
}

// order refuses what cannot follow what stands above.
func (l *log) order(e Entry) error {
	if e.What == "brood-box-on" {
		l.boxes++
		return nil
	}
	if l.boxes > 0 {
		return nil
	}
	if e.What == "super-on" {
		return l.fault("what", "comes before the brood box", "put the brood box on first: write a line with brood-box-on above it")
	}
	return l.fault("what", "comes before there is a hive", "write a line with brood-box-on above it")
}

// amount reads the amount that goes with a word.
func (l *log) amount(what string, w word) (float64, error) {
	given := l.value("amount")
	switch {
	case w.unit == "" && given == "":
		return 0, nil
	case w.unit == "":
		return 0, l.fault("amount", "does not belong to "+what, "leave it empty")
	case given == "" && w.blank >= 0:
		return w.blank, nil
	case given == "":
		return 0, l.fault("amount", "is empty", "give "+w.unit)
	}
	return l.number("amount", 0, w.most, l.mend(what, w))
}

// mend says what an amount may be.
func (l *log) mend(what string, w word) string {
	switch what {
	case "super-on":
		return fmt.Sprintf("a super here has %d frames; count the drawn ones", l.o.SuperFrames)
	case "brood", "bees", "frames-out":
		return fmt.Sprintf("the brood nest here has %d frames", l.o.NestFrames*max(l.boxes, 1))
	case "stores":
		return "weigh the honey in the brood boxes alone; it cannot be below 0"
	}
	return "give " + w.unit
}
