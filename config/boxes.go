package config

import (
	"bytes"
	_ "embed" // for the tables
	"errors"
	"fmt"
	"io"
	"strings"

	"bloomtide/forecast/hive"
)

//go:embed boxes.csv
var boxesCSV []byte

// boxRow is a line of boxes.csv.
type boxRow struct {
	Name    string `csv:"name"`
	Frames  string `csv:"frames"`
	CombDm2 string `csv:"comb_dm2"`
	FullKg  string `csv:"full_kg"`
	Source  string `csv:"source"`
}

// Bounds of a believable box. Our own choices.
const (
	maxFrames  = 30  // frames
	maxCombDm2 = 20  // dm², one face; the largest in use has 11.3
	maxFullKg  = 100 // kg
)

// Boxes returns the hive bodies that the program knows, each with its source.
func Boxes() ([]hive.Box, error) { return readBoxes("boxes.csv", bytes.NewReader(boxesCSV)) }

func readBoxes(name string, r io.Reader) ([]hive.Box, error) {
	columns := []string{"name", "frames", "comb_dm2", "full_kg", "source"}
	t, err := openTable(name, r, columns, columns)
	if err != nil {
		return nil, err
	}
	var boxes []hive.Box
	for {
		var row boxRow
		if err := t.next(&row); errors.Is(err, io.EOF) {
			return boxes, nil
		} else if err != nil {
			return nil, err
		}
		b, err := row.box(t)
		if err != nil {
			return nil, err
		}
		boxes = append(boxes, b)
	}
}

func (r boxRow) box(t *table) (hive.Box, error) {
	if strings.TrimSpace(r.Name) == "" {
		return hive.Box{}, t.at("name", r.Name, "is empty", "name the box")
	}
	if strings.TrimSpace(r.Source) == "" {
		return hive.Box{}, t.at("source", r.Source, "is empty", "say where the figures come from")
	}
	frames, err := t.number("frames", r.Frames, 1, maxFrames)
	if err != nil {
		return hive.Box{}, err
	}
	comb, err := t.number("comb_dm2", r.CombDm2, 1, maxCombDm2)
	if err != nil {
		return hive.Box{}, err
	}
	full, err := t.number("full_kg", r.FullKg, 1, maxFullKg)
	if err != nil {
		return hive.Box{}, err
	}
	return hive.Box{Name: strings.TrimSpace(r.Name), Frames: int(frames), CombDm2: comb, FullKg: full, Source: strings.TrimSpace(r.Source)}, nil
}

// BoxByName returns the hive body of a name, capitals and commas aside. The
// error is a *UsageError that suggests a near miss.
func BoxByName(name string) (hive.Box, error) {
	boxes, err := Boxes()
	if err != nil {
		return hive.Box{}, err
	}
	names := make([]string, len(boxes))
	for i, b := range boxes {
		if fold(b.Name) == fold(name) {
			return b, nil
		}
		names[i] = b.Name
	}
	mend := didYouMean(name, names)
	if mend == "" {
		mend = "use one of " + strings.Join(names, "; ")
	}
	return hive.Box{}, &UsageError{What: fmt.Sprintf("no hive box is called %q", name), Mend: mend}
}
