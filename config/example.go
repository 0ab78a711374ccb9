package config

import (
	"bytes"
	_ "embed" // for the example
	"slices"
)

//go:embed example.yaml
var exampleYAML []byte

// Example returns a copy of the commented configuration file that `bloomtide
// init` writes. As it stands it sets nothing: every setting is commented out,
// and those that have a default show it.
func Example() []byte { return slices.Concat(exampleYAML, []byte(tuningExample())) }

// ExampleWithCover returns the example with cover set to a file, which is named
// as it stands from the folder of the configuration.
func ExampleWithCover(file string) []byte {
	return bytes.Replace(Example(), []byte("#cover: \"\"\n"), []byte("cover: "+file+"\n"), 1)
}
