package main

import "embed"

//go:embed demo/*.yaml
var demoConfigs embed.FS

// demoConfig returns the configuration of an invented county.
func demoConfig(id string) []byte {
	b, err := demoConfigs.ReadFile("demo/" + id + ".yaml")
	if err != nil {
		return nil
	}
	return b
}
