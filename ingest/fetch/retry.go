package fetch

import (
	"math/rand/v2"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// Waits between tries. Our own choices; doubling with a random part is common
// practice, no source, so that many programs do not come back at one moment.
const (
	firstWait   = time.Second
	longestWait = time.Minute

	// patience is the longest wait that a server may ask for. Beyond it the
	// keeper is told to come back.
	patience = 5 * time.Minute

	// gain is how many octets more make a try count as the first again, so
	// that a large file comes over a bad line.
	gain = 1 << 20
)

// backOff returns the wait before try n+1, n from 1: half of a doubled wait
// for certain and up to as much again by chance.
func backOff(n int, r *rand.Rand) time.Duration {
	d := longestWait
	if n < 7 { // 2^6 s is over a minute
		d = min(firstWait<<(n-1), longestWait)
	}
	return d/2 + time.Duration(r.Int64N(int64(d/2)+1))
}

// retryAfter reads the header of that name: seconds or a date (RFC 9110
// section 10.2.3). 0 stands for none.
func retryAfter(h http.Header, now time.Time) time.Duration {
	v := strings.TrimSpace(h.Get("Retry-After"))
	const farthest = 365 * 24 * 3600 // s, keeps the product within a Duration
	if s, err := strconv.Atoi(v); err == nil {
		return time.Duration(min(max(s, 0), farthest)) * time.Second
	}
	if at, err := http.ParseTime(v); err == nil {
		return min(max(at.Sub(now), 0), farthest*time.Second)
	}
	return 0
}

// passing reports whether a status may be another one the next time.
func passing(status int) bool {
	switch status {
	case http.StatusRequestTimeout, http.StatusTooEarly, http.StatusTooManyRequests,
		http.StatusInternalServerError, http.StatusBadGateway, http.StatusServiceUnavailable, http.StatusGatewayTimeout:
		return true
	}
	return false
}
