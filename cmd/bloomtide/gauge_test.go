package main

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestGaugesTellRateAndTimeLeft(t *testing.T) {
	require.Equal(t, "fitting: 0 of 8", stepsLine("fitting", 0, 8, time.Second))
	require.Equal(t, "fitting: 2 of 8, 0.5 a second, 12s left", stepsLine("fitting", 2, 8, 4*time.Second))
	require.Equal(t, "fitting: 8 of 8, 2 a second, 0s left", stepsLine("fitting", 8, 8, 4*time.Second))
	require.Contains(t, gaugeLine(25e6, 100e6, 5*time.Second), "25 %")
	require.Contains(t, gaugeLine(25e6, 100e6, 5*time.Second), "15s left")
}

// Where standard error is no terminal nothing is drawn into it.
func TestGaugeIsSilentBesideATerminal(t *testing.T) {
	var b bytes.Buffer
	g := world{stderr: &b, now: time.Now}.newSteps("fitting", 3)
	g.add(2)
	g.stop()
	require.Empty(t, b.String())
	require.EqualValues(t, 2, g.read.Load())
}
