package records

import (
	"errors"
	"io"

	"bloomtide/ingest/weather"
)

// Weight is one reading of a hive scale.
type Weight struct {
	Date    weather.Date
	Kg      float64 // the whole hive, kg
	Handled bool    // the keeper added or took something since the reading before
}

// heaviestKg is the most that a hive on a scale weighs, kg. Our own choice.
const heaviestKg = 400

// ReadScale reads a hive scale's daily weights, a CSV file with the columns
//
//	date,kg[,handled]
//
// in the order of their dates; handled takes yes or no. Of several readings of
// a day the first counts, so that a gain runs from morning to morning. The
// error is a *weather.SyntaxError, or what the reader returned.
func ReadScale(r io.Reader, name string) ([]Weight, error) {
	known := []string{"date", "kg", "handled"}
	s, err := openSheet(name, r, known, known[:2])
	if err != nil {
		return nil, err
	}
	var out []Weight
	for {
		if err := s.next(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		w, err := s.weight()
		if err != nil {
			return nil, err
		}
		if n := len(out); n > 0 && w.Date <= out[n-1].Date {
			if w.Date < out[n-1].Date {
				return nil, s.fault("date", "is before the line above", "sort the lines by date")
			}
			out[n-1].Handled = out[n-1].Handled || w.Handled
			continue
		}
		out = append(out, w)
	}
	if len(out) < 2 {
		return nil, &weather.SyntaxError{File: name, What: "fewer than two weights", Mend: "a gain needs a reading on each of two days"}
	}
	return out, nil
}

// weight reads the present line.
func (s *sheet) weight() (w Weight, err error) {
	if w.Date, err = s.date(); err != nil {
		return w, err
	}
	if w.Kg, err = s.number("kg", 0, heaviestKg, "give the weight of the whole hive in kg; 1 lb is 0.4536 kg"); err != nil {
		return w, err
	}
	switch s.value("handled") {
	case "yes", "y", "1", "true":
		w.Handled = true
	case "", "no", "n", "0", "false":
	default:
		return w, s.fault("handled", "is neither yes nor no", "write yes where you added or took something since the reading before")
	}
	return w, nil
}
