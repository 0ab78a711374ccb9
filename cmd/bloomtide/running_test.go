package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A watch that began before the issue date is work for now: a day in the past is
// no day by which to begin it.
func TestReportSaysThatAWatchRunsNow(t *testing.T) {
	out := invoke(t, "report", "--place", "Sarnholt", "--issue", "2025-05-20")
	_, next, found := strings.Cut(out.stdout, ">Swarm watch begins<")
	require.True(t, found)
	next, _, _ = strings.Cut(next, "</li>")
	require.Contains(t, next, "now,")
	require.Contains(t, next, "running to ")
	require.Contains(t, next, "began about ")
	require.NotContains(t, next, "by ")
}
