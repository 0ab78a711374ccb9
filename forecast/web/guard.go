package web

import (
	"net"
	"net/http"
	"slices"
	"strings"
)

// policy lets a page use nothing but what is served beside it: no script or
// style in the page itself, no other host, no frame (Content Security Policy
// Level 3, from memory).
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// longestQuery bounds an address, octets. Sixty stands take some 3 kB.
const longestQuery = 8 << 10

// guard lets through only what may be meant for us.
//
// Host: a page of another site can point its own name at this machine and then
// read what is here. It cannot do so with a number, so plain IP addresses and
// the names of Options are the only hosts that are answered.
//
// Writing: a request that another site has caused is refused by
// http.CrossOriginProtection, which looks at Sec-Fetch-Site and Origin.
func guard(next http.Handler, hosts []string) http.Handler {
	next = http.NewCrossOriginProtection().Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin") // a secret in the address stays here; Origin stays told
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		switch {
		case !knownHost(r.Host, hosts):
			http.Error(w, "this page is not served under that name; use the address that the program printed, or start it with --host NAME", http.StatusMisdirectedRequest)
		case len(r.URL.RawQuery) > longestQuery:
			http.Error(w, "the address is too long", http.StatusRequestURITooLong)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// knownHost reports whether a Host header names this page.
func knownHost(host string, names []string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	host = strings.ToLower(strings.TrimSuffix(strings.Trim(host, "[]"), "."))
	return net.ParseIP(host) != nil || host == "localhost" || slices.Contains(names, host)
}
