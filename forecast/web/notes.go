package web

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"bloomtide/forecast/report"
	"bloomtide/ingest/weather"
)

// Bounds of a note.
const (
	largestForm = 64 << 10 // octets of a posted form
	longestText = 500      // characters
	heaviestKg  = 500      // of a hive on a scale
	kgPerLb     = 0.45359237
)

// noteRow is a note in words.
type noteRow struct {
	ID, Day, What, Text string
}

// noteRows writes the notes out.
func noteRows(all []Note, u report.Units) []noteRow {
	out := make([]noteRow, len(all))
	for i, n := range all {
		out[i] = noteRow{ID: n.ID, Day: report.DayText(n.Day, u), What: n.words(u), Text: n.Text}
	}
	return out
}

func (n Note) words(u report.Units) string {
	switch n.Kind {
	case NoteDone:
		return "Done: " + n.Title
	case NoteWeighed:
		if u == report.US {
			return fmt.Sprintf("Weighed: %.1f lb", n.Kg/kgPerLb)
		}
		return fmt.Sprintf("Weighed: %.1f kg", n.Kg)
	case NoteBloom:
		return n.Plant + ": " + n.Stage + " bloom"
	default:
		return n.Kind
	}
}

// note records one thing and returns to the page it came from.
func (s *site) note(w http.ResponseWriter, r *http.Request) {
	q, err := s.posted(w, r)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	n, err := s.readNote(r, q)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	if err := s.Log.Add(q.place.ID, n); err != nil {
		s.fault(w, err)
		return
	}
	s.back(w, r, q)
}

// undo takes a note back.
func (s *site) undo(w http.ResponseWriter, r *http.Request) {
	q, err := s.posted(w, r)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	if err := s.Log.Remove(q.place.ID, r.PostForm.Get("id")); err != nil {
		s.refuse(w, r, err)
		return
	}
	s.back(w, r, q)
}

// posted reads a small form and the question of the page that it stood on.
func (s *site) posted(w http.ResponseWriter, r *http.Request) (question, error) {
	r.Body = http.MaxBytesReader(w, r.Body, largestForm)
	if err := r.ParseForm(); err != nil {
		return question{}, err
	}
	return s.questionOf(r.PostForm.Get("back"))
}

// back leads to the page of a question, at the keeper's record. The question
// was read and is written anew, so that no other site can be named.
func (s *site) back(w http.ResponseWriter, r *http.Request, q question) {
	http.Redirect(w, r, s.Base+"/?"+q.chosen.query()+"#record", http.StatusSeeOther)
}

// readNote reads what the keeper has written down.
func (s *site) readNote(r *http.Request, q question) (Note, error) {
	get := func(k string) string { return line(r.PostForm.Get(k)) }
	n := Note{Kind: get("kind"), Text: get("text"), Day: q.full.Issue}
	if d := get("day"); d != "" {
		day, err := weather.ParseDate(d)
		if err != nil || day.Year() < firstYear || day.Year() > lastYear {
			return n, &badQuery{"day", d, "write it as 2027-04-14"}
		}
		n.Day = day
	}
	if len(n.Text) > longestText {
		return n, &badQuery{"note", n.Text, fmt.Sprintf("write %d characters at most", longestText)}
	}
	switch n.Kind {
	case NoteDone:
		return s.readDone(r, q, n)
	case NoteWeighed:
		kg, err := strconv.ParseFloat(strings.Replace(get("kg"), ",", ".", 1), 64)
		if q.full.US {
			kg *= kgPerLb
		}
		if err != nil || !(kg > 0 && kg <= heaviestKg) {
			return n, &badQuery{"weight", get("kg"), fmt.Sprintf("write a number up to %d kg", heaviestKg)}
		}
		n.Kg = math.Round(kg*100) / 100 // the scale is no better than 10 g
		return n, nil
	case NoteBloom:
		n.Plant, n.Stage = get("plant"), get("stage")
		if !slices.Contains(s.Plants, n.Plant) || !slices.Contains(Stages(), n.Stage) {
			return n, &badQuery{"bloom", n.Plant + " " + n.Stage, "choose a plant and a stage of the list"}
		}
		return n, nil
	default:
		return n, &badQuery{"note", n.Kind, "use the forms of the page"}
	}
}

// readDone looks the task up in the plan, so that only its own words are kept.
func (s *site) readDone(r *http.Request, q question, n Note) (Note, error) {
	f, err := s.cache.get(r.Context(), q.full)
	if err != nil {
		return n, err
	}
	uid := r.PostForm.Get("task")
	for _, t := range report.TaskViews(f, report.Options{}) {
		if t.UID == uid {
			n.Task, n.Title = t.UID, t.Title
			return n, nil
		}
	}
	return n, &badQuery{"task", uid, "reload the page: the plan has changed"}
}

// line makes one line of any text.
func line(s string) string {
	s = strings.ToValidUTF8(s, "")
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return unicode.IsControl(r) || unicode.IsSpace(r) }), " ")
}

// errTooLarge says that a form or a file is beyond the limit.
var errTooLarge = errors.New("that is more than this page takes; a weather file may have " + largestFileText + ", gzip it or give it on the command line")
