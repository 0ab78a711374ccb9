// Package fetch downloads what a place needs from public archives over HTTP:
// the station list and the inventory of GHCN-Daily, the by-station records of
// the stations nearest to the place, and a near-term outlook.
//
// It touches no file and reads no clock: a Store keeps what comes, a Clock
// tells the time. A download that is cut off is resumed (RFC 9110 section 14,
// Range and If-Range), one that is stored is asked for again only with its
// validators (If-None-Match, If-Modified-Since), and what does not look like
// the data asked for is never stored.
//
// Only the hosts of the given addresses are spoken to, by https, and never at
// an address that is not public; Options tell otherwise.
package fetch
