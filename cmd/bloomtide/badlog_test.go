package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What a keeper cannot have done or seen is refused with file, line and column
// and with the mend. Ten frames to a box: the demo's Langstroth boxes.
func TestBadHiveLogs(t *testing.T) {
	for row, want := range map[string]string{
		"2025-03-02,stores,-2,":                      `log.csv:2:3: amount "-2" is outside 0..80; weigh the honey in the brood boxes alone; it cannot be below 0`,
		"2025-03-02,super-on,40,":                    `log.csv:2:3: amount "40" is outside 0..10; a super here has 10 frames; count the drawn ones`,
		"2025-03-02,brood,40,":                       `log.csv:2:3: amount "40" is outside 0..20; the brood nest here has 20 frames`,
		"2025-03-02,bees,90,":                        `log.csv:2:3: amount "90" is outside 0..40; the brood nest here has 20 frames`,
		"2025-03-02,super-on,four,":                  `log.csv:2:3: amount "four" is not a number`,
		"2025-03-02,stores,,":                        `log.csv:2:3: amount "" is empty; give kg in the brood boxes`,
		"2025-03-02,swarm,3,":                        `log.csv:2:3: amount "3" does not belong to swarm; leave it empty`,
		"2025-03-02,queen-on,1,":                     `log.csv:2:2: what "queen-on" is no word of a hive log`,
		"2025-02-30,stores,9,":                       `log.csv:2:1: date "2025-02-30"`,
		"2025-03-02,stores,9,\n2025-03-01,stores,9,": `log.csv:3:1: date "2025-03-01" is before the line above; sort the lines by date`,
	} {
		t.Run(row, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "log.csv")
			require.NoError(t, os.WriteFile(file, []byte("date,what,amount,note\n"+row+"\n"), 0o600))
			out := invoke(t, "plan", "--place", "Sarnholt", "--hive-log", file)
			require.Equal(t, exitUsage, out.code, out.stderr)
			require.Empty(t, out.stdout)
			require.Contains(t, out.stderr, want)
		})
	}
}
