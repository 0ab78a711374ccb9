package config

import (
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
)

// Cover is one line of a list of what grows within reach of the bees.
type Cover struct {
	Plant    string  // as the forage table calls it
	Hectares float64 // ha of the plant's own flowers; 0: it grows here, how much is not known
	Note     string  // the keeper's own words
}

// mostCoverHa bounds a line, ha: a circle of 18 km radius, farther than bees
// fly. Our own choice.
const mostCoverHa = 100000

// coverRow is a line of the list as it stands.
type coverRow struct {
	Plant    string `csv:"plant"`
	Hectares string `csv:"hectares"`
	Note     string `csv:"note"`
}

// ReadCover reads what grows within reach, CSV with the columns plant, hectares
// and, if wanted, note. Lines that begin with # are comments; empty hectares
// mean that the plant grows here and its cover is not known.
//
//	name    the file's name, for errors
//	plants  the forage table that the names are looked up in, by name or taxon
//
// The error joins one *weather.SyntaxError for each bad line, which names file,
// line, column, value and the mend.
func ReadCover(name string, r io.Reader, plants []Plant) ([]Cover, error) {
	t, err := openTable(name, r, []string{"plant", "hectares", "note"}, []string{"plant", "hectares"})
	if err != nil {
		return nil, err
	}
	var out []Cover
	var bad []error
	seen := map[string]bool{}
	for {
		var row coverRow
		if err := t.next(&row); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, errors.Join(append(bad, err)...)
		}
		c, err := row.cover(t, plants)
		if err == nil && seen[c.Plant] {
			err = t.at("plant", row.Plant, "stands twice", "add the hectares up on one line")
		}
		if err != nil {
			bad = append(bad, err)
			continue
		}
		seen[c.Plant] = true
		out = append(out, c)
	}
	if len(bad) > 0 {
		return nil, errors.Join(bad...)
	}
	if len(out) == 0 {
		return nil, t.whole("holds no plant", "add a line for each that grows here; `bloomtide init --region list` names the starter lists")
	}
	return out, nil
}

func (r coverRow) cover(t *table, plants []Plant) (Cover, error) {
	p, ok := findPlant(r.Plant, plants)
	if !ok {
		return Cover{}, t.at("plant", r.Plant, "is not in the forage table", mendPlant(r.Plant, plants))
	}
	c := Cover{Plant: p.Model.Plant, Note: strings.TrimSpace(r.Note)}
	if _, err := strconv.ParseFloat(c.Note, 64); err == nil {
		return Cover{}, t.at("note", r.Note, "is a number", "write the decimals of the hectares after a point, not a comma")
	}
	if strings.TrimSpace(r.Hectares) == "" {
		return c, nil
	}
	ha, err := t.number("hectares", r.Hectares, 0, mostCoverHa)
	if err != nil {
		return Cover{}, err
	}
	if ha == 0 {
		return Cover{}, t.at("hectares", r.Hectares, "is nothing", "delete the line where the plant does not grow; leave the field empty where its cover is not known")
	}
	c.Hectares = ha
	return c, nil
}

// mendPlant says what to write for a plant that the table does not have.
func mendPlant(name string, plants []Plant) string {
	if mend := didYouMean(name, PlantNames(plants)); mend != "" {
		return mend
	}
	return "`bloomtide forage` prints the plants; add a row of your own and name the table with --forage"
}

// WithCover returns the settings with a list in place of their stands: lines
// with hectares become stands, those without are Unmeasured.
func (s Settings) WithCover(rows []Cover) Settings {
	s.Stands, s.Unmeasured = nil, nil
	for _, c := range rows {
		if c.Hectares > 0 {
			s.Stands = append(s.Stands, StandSetting{Plant: c.Plant, Hectares: c.Hectares})
		} else {
			s.Unmeasured = append(s.Unmeasured, c.Plant)
		}
	}
	return s
}

// unmeasured returns the plants that grow here and have no stand.
func (s Settings) unmeasured() []string {
	return slices.DeleteFunc(slices.Clone(s.Unmeasured), func(name string) bool {
		return slices.ContainsFunc(s.Stands, func(st StandSetting) bool { return fold(st.Plant) == fold(name) })
	})
}
