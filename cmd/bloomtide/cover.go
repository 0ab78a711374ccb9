package main

import (
	"fmt"
	"os"

	"bloomtide/config"
)

// covered puts the keeper's list of what grows within reach, where the settings
// name one, in place of their stands.
func covered(s config.Settings) (config.Settings, error) {
	if s.Cover == "" {
		return s, nil
	}
	table, err := plants(s)
	if err != nil {
		return s, err
	}
	f, err := os.Open(s.Cover)
	if err != nil {
		return s, &usageError{fmt.Errorf("read what grows within reach: %w", err), "name a CSV file with the columns plant,hectares,note; \"bloomtide init --region list\" names lists to start from"}
	}
	defer f.Close()
	rows, err := config.ReadCover(s.Cover, f, table)
	if err != nil {
		return s, &usageError{err, ""}
	}
	return s.WithCover(rows), nil
}
