package report_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/forecast/report"

	"github.com/stretchr/testify/require"
)

func pageOf(t *testing.T, f forecast.Forecast, o report.HTMLOptions) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.HTML(&b, f, o))
	return b.String()
}

func TestPageAnswersFirstAndFetchesNothing(t *testing.T) {
	page := pageOf(t, invented(), report.HTMLOptions{})
	next, plan := strings.Index(page, "Swarm watch begins"), strings.Index(page, "The plan of the year")
	require.Positive(t, next)
	require.Less(t, next, plan, "the next work comes before everything else")
	head, _, _ := strings.Cut(page, "The plan of the year")
	require.Equal(t, 3, strings.Count(head, "class=\"what\""))
	require.NotContains(t, head, "Spring stores check", "what is overdue is not next")
	require.Contains(t, page, "Nowhere <small>(invented)</small>")
	require.Contains(t, page, "24 kg")
	require.NotRegexp(t, regexp.MustCompile(`(?i)<script|src=|href="[^#]|@import|url\([^#]`), page, "one file, no network, no script")
	for _, word := range []string{`lang="en"`, "<title>", "viewport", "@media print", "prefers-color-scheme: dark"} {
		require.Contains(t, page, word)
	}
	require.Contains(t, pageOf(t, invented(), report.HTMLOptions{Units: report.US}), "53 lb")
}

func TestPageEscapesWhatItIsGiven(t *testing.T) {
	f := invented()
	f.Apiary.Name = `<script>alert(1)</script>`
	f.Blooms[0].Plant = `"><img src=x onerror=alert(1)>`
	f.Warnings = []string{"<b>loud</b>"}
	page := pageOf(t, f, report.HTMLOptions{})
	for _, bad := range []string{"<script", "<img", "<b>"} {
		require.NotContains(t, page, bad)
	}
}

func TestPageTellsWhatToLookForOnce(t *testing.T) {
	f := invented()
	for i := range f.Tasks {
		f.Tasks[i].Why.Text += " " // each its own reason
		f.Tasks[i].Check = hive.Reason{Text: "empty cells"}
		f.Tasks[i].Care = hive.Reason{Text: "a heavy box"}
	}
	page := pageOf(t, f, report.HTMLOptions{})
	require.Equal(t, 1, strings.Count(page, "<b>Look for:</b> empty cells."))
	require.Equal(t, 1, strings.Count(page, "<b>Beware:</b> a heavy box."))
}
