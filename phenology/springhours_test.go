package phenology

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Computed outside this project: ../shared/science/PHENOLOGY.md, section 2.7.
func TestSpringHoursCheckValues(t *testing.T) {
	require.InDelta(t, 452.350640, springHours(40, 60, 12), 0.5e-6)
	require.InDelta(t, 132.901892, springHours(28, 45, 11.3), 0.5e-6)
	require.InDelta(t, 0, springHours(10, 30, 12), 0)
}
