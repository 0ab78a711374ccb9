package config

import (
	"bytes"
	_ "embed" // for the table
	"errors"
	"fmt"
	"io"
	"strings"
)

//go:embed regions.csv
var regionsCSV []byte

// RegionPlant is a plant that a published source names for a region.
type RegionPlant struct {
	Plant  string // as the embedded forage table calls it
	Source string // author, year, title or data set, and what it names
}

// Region is a broad region with a list to start from. It is no survey: what
// grows within reach of a hive is found by walking there.
type Region struct {
	Name   string // our own, lower case
	Plants []RegionPlant
}

type regionRow struct {
	Region string `csv:"region"`
	Plant  string `csv:"plant"`
	Source string `csv:"source"`
}

// Regions returns the regions with a starter list, in alphabetical order, from
// the embedded table.
func Regions() ([]Region, error) {
	columns := []string{"region", "plant", "source"}
	t, err := openTable("regions.csv", bytes.NewReader(regionsCSV), columns, columns)
	if err != nil {
		return nil, err
	}
	var out []Region
	for {
		var row regionRow
		if err := t.next(&row); errors.Is(err, io.EOF) {
			return out, nil
		} else if err != nil {
			return nil, err
		}
		if len(out) == 0 || out[len(out)-1].Name != row.Region {
			out = append(out, Region{Name: row.Region})
		}
		last := &out[len(out)-1]
		last.Plants = append(last.Plants, RegionPlant{row.Plant, row.Source})
	}
}

// RegionByName returns a region, capitals and hyphens aside. The error is a
// *UsageError that names those there are.
func RegionByName(name string) (Region, error) {
	all, err := Regions()
	if err != nil {
		return Region{}, err
	}
	names := make([]string, len(all))
	for i, r := range all {
		if names[i] = r.Name; fold(strings.ReplaceAll(name, "-", " ")) == r.Name {
			return r, nil
		}
	}
	mend := "the regions are " + strings.Join(names, ", ") + "; for another place begin without one and list what grows"
	if near := didYouMean(name, names); near != "" {
		mend = near + " " + mend
	}
	return Region{}, &UsageError{Where: "--region", What: fmt.Sprintf("no starter list for %q", name), Mend: mend}
}

// CoverCSV writes the region's plants as a list for ReadCover, each with empty
// hectares and its source as the note.
func (r Region) CoverCSV() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `# What grows within reach: a start for the region %q, to be corrected.
# A published source names each plant for the region, not for your place. Walk
# the neighbourhood within two to three kilometres of the hives; delete the lines
# of what does not grow there and add what does (bloomtide forage prints the names).
# hectares: ground that the plant's own flowers cover, 1 ha is 100 m x 100 m. A
# 10 ha pasture that is one tenth clover is 1 ha of clover. Empty: grows here,
# cover not known. With no hectares at all the plan shows no amounts; with some,
# the lines without are left out of the nectar flow.
plant,hectares,note
`, r.Name)
	for _, p := range r.Plants {
		fmt.Fprintf(&b, "%s,,%s\n", quoted(p.Plant), quoted(p.Source))
	}
	return b.Bytes()
}

// quoted writes a field as RFC 4180 has it.
func quoted(s string) string {
	if !strings.ContainsAny(s, "\",\r\n") {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}
