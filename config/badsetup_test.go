package config

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A hive that cannot be meant is refused with file, line and key and with the
// mend.
func TestBadHives(t *testing.T) {
	for content, want := range map[string][]string{
		"hive:\n  brood_boxes: 0\n":  {"b.yaml:2: hive.brood_boxes: 0 is outside 1..6", "a super goes on over a brood box: count the boxes below the excluder"},
		"hive:\n  brood_boxes: -1\n": {"b.yaml:2: hive.brood_boxes: -1 is outside 1..6"},
		"place: x\nhive:\n  super: Langstroth medium, 40 frames\n": {
			"b.yaml:3: hive.super: ", `no hive box is called "Langstroth medium, 40 frames"`, "did you mean"},
		"hive:\n  most_supers: -1\n":    {"b.yaml:2: hive.most_supers: -1 is outside 0..12", "count the supers that you own"},
		"hive:\n  foundation: 40\n":     {"b.yaml:2: hive.foundation: 40 is outside 0..1"},
		"hive:\n  foragers: 0\n":        {"b.yaml:2: hive.foragers: 0 is outside 1..100000"},
		"tuning:\n  start_stores: -3\n": {"b.yaml:2: tuning.start_stores: -3 kg is outside 0.1..60", "`bloomtide assumptions` shows the default and why"},
		"tuning:\n  start_bees: 9e9\n":  {"b.yaml:2: tuning.start_bees: ", "is outside 500..60000"},
		"hive:\n  broodboxes: 2\n":      {"b.yaml:2:", `did you mean "hive.brood_boxes"`},
	} {
		_, err := fromYAML(content)
		for _, w := range want {
			require.ErrorContains(t, err, w, content)
		}
	}
}
