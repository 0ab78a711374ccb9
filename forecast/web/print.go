package web

import (
	"bytes"
	"net/http"

	"bloomtide/forecast/report"
)

// printedPolicy is for the sheet that stands alone: its style is inside it, and
// there is nothing else that it could use.
const printedPolicy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// report shows the plan as one page to print or to keep: it needs nothing
// beside it.
func (s *site) report(w http.ResponseWriter, r *http.Request) {
	q, err := s.question(r)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	f, err := s.cache.get(r.Context(), q.full)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	var b bytes.Buffer
	if err := report.HTML(&b, f, report.HTMLOptions{Units: q.look().Units}); err != nil {
		s.fault(w, err)
		return
	}
	w.Header().Set("Content-Security-Policy", printedPolicy)
	send(w, r, "text/html; charset=utf-8", b.Bytes())
}
