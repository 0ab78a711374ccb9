package records

import (
	"strings"

	"bloomtide/ingest/weather"
)

// Stage of bloom.
type Stage string

// The stages, in their order.
const (
	First Stage = "first" // first flowers open
	Full  Stage = "full"  // most are open; written peak by some
	End   Stage = "end"   // the last have gone
)

// Observation is one stage of one plant seen in one year.
type Observation struct {
	Plant string // as written
	Stage Stage
	Place string // as written, may be empty
	Note  string

	// The stage came after Day, when it was last looked for in vain, and by Till.
	// Both are the same where the day is known.
	Day, Till weather.Date

	Line   int // of the file; of the first yes for an interval
	Column int // of the date
}

// look is what one line says: a dated stage, or that it had or had not come.
type look uint8

const (
	dated look = iota
	notYet
	hasCome
)

// stageWords pairs what people write with what is meant.
func stageWords() map[string]Stage {
	return map[string]Stage{
		"first": First, "onset": First, "start": First, "begin": First, "beginning": First, "first bloom": First, "first flower": First, "10%": First, "bbch60": First, "bbch 60": First, "60": First,
		"full": Full, "peak": Full, "full bloom": Full, "peak bloom": Full, "50%": Full, "bbch65": Full, "bbch 65": Full, "65": Full,
		"end": End, "end of bloom": End, "last": End, "finish": End, "over": End, "bbch69": End, "bbch 69": End, "69": End,
	}
}

// parseStage reads a stage, with yes or no behind it where the line tells only
// whether it had come. Alone, yes and no are about the first flowers.
func parseStage(s string) (stage Stage, l look, ok bool) {
	words := strings.Fields(strings.ToLower(s))
	if len(words) == 0 {
		return "", dated, false
	}
	switch words[len(words)-1] {
	case "no":
		l = notYet
	case "yes":
		l = hasCome
	}
	if l != dated {
		if words = words[:len(words)-1]; len(words) == 0 {
			return First, l, true
		}
	}
	stage, ok = stageWords()[strings.Join(words, " ")]
	return stage, l, ok
}
