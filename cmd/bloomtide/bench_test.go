package main

import (
	"context"
	"io"
	"testing"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/ingest/demo"

	"github.com/stretchr/testify/require"
)

// demoJob reads the record of an invented county.
func demoJob(b *testing.B) job {
	b.Helper()
	j, err := demoPlace(demo.Counties()[0], config.Settings{})
	require.NoError(b, err)
	return j
}

// BenchmarkPlanDemo is one whole plan, 30 members of 30 years, from the record
// in memory to the printed table.
func BenchmarkPlanDemo(b *testing.B) {
	w := world{stdout: io.Discard, stderr: io.Discard, now: scriptDay}
	j := demoJob(b)
	b.ReportAllocs()
	for b.Loop() {
		f, err := w.forecast(j)
		if err != nil {
			b.Fatal(err)
		}
		if err := report.Plan(io.Discard, f, report.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadDemo is what comes before: unpacking, reading and filling the
// 11057 days of one county.
func BenchmarkReadDemo(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		demoJob(b)
	}
}

// BenchmarkCommandPlan is the command as a user calls it, both counties, but
// for starting the process.
func BenchmarkCommandPlan(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if code := run(context.Background(), []string{"plan"}, world{stdout: io.Discard, stderr: io.Discard, now: scriptDay}); code != exitDone {
			b.Fatal(code)
		}
	}
}
