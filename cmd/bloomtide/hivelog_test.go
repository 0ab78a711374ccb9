package main

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"bloomtide/forecast/hive"
	"bloomtide/ingest/records"
)

// The words that the reader of the log knows are those that the hive acts on.
func TestLogWordsAreTheDeeds(t *testing.T) {
	var kinds []string
	for _, k := range hive.DeedKinds() {
		kinds = append(kinds, string(k))
	}
	slices.Sort(kinds)
	require.Equal(t, records.LogWords(), kinds)
}
