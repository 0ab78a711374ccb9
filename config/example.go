package config

import (
	_ "embed" // for the example
	"slices"
)

//go:embed example.yaml
var exampleYAML []byte

// Example returns a copy of the commented configuration file that `bloomtide
// init` writes. As it stands it sets nothing: every setting is commented out,
// and those that have a default show it.
func Example() []byte { return slices.Concat(exampleYAML, []byte(tuningExample())) }
