package config

import (
	"bytes"
	_ "embed" // for the tables
	"errors"
	"io"
	"slices"
	"strings"

	"bloomtide/phenology"
)

//go:embed forage.csv
var forageCSV []byte

// ForageCSV returns a copy of the embedded forage table, CSV with a header.
// Every row has a status and a source. Nectar rates marked as Baude, Kunin and
// Memmott 2015 contain data supplied by Natural Environment Research Council
// (Open Government Licence v3).
func ForageCSV() []byte { return slices.Clone(forageCSV) }

// Plants returns the plants of the embedded forage table.
func Plants() ([]Plant, error) { return ReadForage("forage.csv", bytes.NewReader(forageCSV)) }

// Plant is one row of a forage table: when a plant blooms and what it gives.
type Plant struct {
	Model phenology.Model

	// PeakKgPerHaDay is the sugar of a hectare of the plant's own cover on a
	// day at full bloom in good weather, kg/ha/d; 0: pollen only, or not known.
	PeakKgPerHaDay float64
	NectarStatus   phenology.Status // empty where there is no rate
	NectarSource   string

	BloomDaysSource string
	Starter         bool   // stands in where the keeper has listed no stands
	Place           string // where the degree days were found
	Note            string

	after string // plant whose first bloom a row in days counts from
}

// forageRow is a line of the table as it stands.
type forageRow struct {
	Plant           string `csv:"plant"`
	Taxon           string `csv:"taxon"`
	Onset           string `csv:"onset"`
	Full            string `csv:"full"`
	End             string `csv:"end"`
	Unit            string `csv:"unit"`
	Base            string `csv:"base"`
	Upper           string `csv:"upper"`
	Method          string `csv:"method"`
	Biofix          string `csv:"biofix"`
	Light           string `csv:"light"`
	After           string `csv:"after"`
	RelativeSD      string `csv:"relative_sd"`
	Place           string `csv:"place"`
	Status          string `csv:"status"`
	Source          string `csv:"source"`
	BloomDays       string `csv:"bloom_days"`
	BloomDaysSource string `csv:"bloom_days_source"`
	Nectar          string `csv:"nectar_kg_ha_day"`
	NectarStatus    string `csv:"nectar_status"`
	NectarSource    string `csv:"nectar_source"`
	Starter         string `csv:"starter"`
	Note            string `csv:"note"`
}

// ForageColumns returns the columns that a forage table may have, and those of
// them that it must have.
func ForageColumns() (all, required []string) {
	return []string{
			"plant", "taxon", "onset", "full", "end", "unit", "base", "upper", "method", "biofix",
			"light", "after", "relative_sd", "place", "status", "source", "bloom_days", "bloom_days_source",
			"nectar_kg_ha_day", "nectar_status", "nectar_source", "starter", "note",
		}, []string{
			"plant", "onset", "unit", "base", "method", "biofix", "status", "source", "bloom_days",
		}
}

// ReadForage reads a forage table, CSV with the columns of ForageColumns in
// any order.
//
//	name  the file's name, for errors
//
// Degree days in °F·d (unit Fdd, thresholds in °F) are converted to °C·d. A row
// with unit days has the days from the first bloom of the plant named in after,
// or from the biofix where none is named, and is joined with it. The
// error joins one *weather.SyntaxError for each bad line, which names file,
// line, column, value and the mend.
func ReadForage(name string, r io.Reader) ([]Plant, error) {
	all, required := ForageColumns()
	t, err := openTable(name, r, all, required)
	if err != nil {
		return nil, err
	}
	var plants []Plant
	var bad, late []error
	seen := map[string]bool{}
	for {
		var row forageRow
		if err := t.next(&row); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, errors.Join(append(bad, err)...)
		}
		p, err := row.plant(t)
		if key := fold(p.Model.Plant); err == nil && seen[key] {
			err = t.at("plant", row.Plant, "stands twice", "give the second one another name")
		} else {
			seen[key] = true
		}
		if err != nil {
			bad = append(bad, err)
			continue
		}
		plants = append(plants, p)
		late = append(late, row.afterError(t))
	}
	bad = append(bad, followAll(plants, late)...)
	if len(plants) == 0 && len(bad) == 0 {
		return nil, t.whole("holds no plant", "add a line for each; `bloomtide forage` prints a table to start from")
	}
	if len(bad) > 0 {
		return nil, errors.Join(bad...)
	}
	return plants, nil
}

// PlantNames returns the names of plants, in their order.
func PlantNames(plants []Plant) []string {
	names := make([]string, len(plants))
	for i, p := range plants {
		names[i] = p.Model.Plant
	}
	return names
}

// findPlant returns the plant of a name or taxon, capitals aside.
func findPlant(name string, plants []Plant) (Plant, bool) {
	for _, p := range plants {
		if fold(p.Model.Plant) == fold(name) || strings.EqualFold(p.Model.Taxon, strings.TrimSpace(name)) {
			return p, true
		}
	}
	return Plant{}, false
}
