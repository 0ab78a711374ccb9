package fetch

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"
	"syscall"
)

// guard says which addresses may be asked.
type guard struct {
	hosts        []string // host:port
	allowHTTP    bool
	allowPrivate bool
}

// mostRedirects are followed. Our own choice: archives use one or two.
const mostRedirects = 5

// newGuard allows the hosts of the given addresses.
func newGuard(addresses []string, allowHTTP, allowPrivate bool) (guard, error) {
	g := guard{allowHTTP: allowHTTP, allowPrivate: allowPrivate}
	for _, a := range addresses {
		u, err := url.Parse(a)
		if err != nil || u.Host == "" || u.Hostname() == "" {
			return g, &AddressError{a, "not a web address", "write it as https://host/path"}
		}
		g.hosts = append(g.hosts, hostPort(u))
		if err := g.check(u); err != nil {
			return g, err
		}
	}
	return g, nil
}

// hostPort returns host:port in lower case, the port of the scheme where none
// is written.
func hostPort(u *url.URL) string {
	port := u.Port()
	switch {
	case port != "":
	case u.Scheme == "http":
		port = "80"
	default:
		port = "443"
	}
	return net.JoinHostPort(strings.TrimSuffix(strings.ToLower(u.Hostname()), "."), port)
}

// check refuses an address of another scheme or host.
func (g guard) check(u *url.URL) error {
	switch {
	case u.Scheme != "https" && (u.Scheme != "http" || !g.allowHTTP):
		return &AddressError{u.Redacted(), fmt.Sprintf("%q is not https", u.Scheme), "only https is spoken unless --allow-http is given"}
	case u.User != nil:
		return &AddressError{u.Redacted(), "a name and password stand in the address", "give the address of a public archive"}
	case !slices.Contains(g.hosts, hostPort(u)):
		return &AddressError{u.Redacted(), "the host is not one of the settings", "only " + strings.Join(slices.Compact(slices.Sorted(slices.Values(g.hosts))), " and ") + " may be asked"}
	}
	return nil
}

// redirect refuses to be led elsewhere, or in circles.
func (g guard) redirect(next *http.Request, via []*http.Request) error {
	if len(via) > mostRedirects {
		return &AddressError{via[0].URL.Redacted(), fmt.Sprintf("more than %d redirects, the last to %s", mostRedirects, next.URL.Redacted()), "the archive is out of order or the address in the settings is old"}
	}
	if err := g.check(next.URL); err != nil {
		e := new(AddressError)
		if errors.As(err, &e) {
			return &AddressError{via[0].URL.Redacted(), fmt.Sprintf("leads to %s: %s", e.Address, e.What), e.Mend}
		}
		return err
	}
	return nil
}

// control sees the numeric address of every connection before it is made, so
// that no name can stand for an address of the reader's own network, whatever
// the name service says the second time.
func (g guard) control(_, address string, _ syscall.RawConn) error {
	if g.allowPrivate {
		return nil
	}
	at, err := netip.ParseAddrPort(address)
	if err != nil {
		return &AddressError{address, "not a numeric address", ""}
	}
	if !public(at.Addr()) {
		return &AddressError{address, "not an address of the public internet", "an archive never lies there; --allow-private is for tests"}
	}
	return nil
}

// special are the blocks that are not public beside those that netip knows.
// IANA IPv4 and IPv6 Special-Purpose Address Registries (RFC 6890 and its
// updates), from memory. The translating blocks carry an IPv4 address that
// could be private.
func special() []netip.Prefix {
	var out []netip.Prefix
	for _, s := range []string{
		"0.0.0.0/8", "100.64.0.0/10", "192.0.0.0/24", "192.0.2.0/24", "192.88.99.0/24", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24", "240.0.0.0/4",
		"::/96", "64:ff9b::/96", "64:ff9b:1::/48", "100::/64", "2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20", "5f00::/16", "fec0::/10",
	} {
		if p, err := netip.ParsePrefix(s); err == nil { // a test reads them all
			out = append(out, p)
		}
	}
	return out
}

// public reports whether an address is one of the public internet.
func public(a netip.Addr) bool {
	a = a.Unmap().WithZone("")
	if !a.IsGlobalUnicast() || a.IsPrivate() {
		return false
	}
	return !slices.ContainsFunc(special(), func(p netip.Prefix) bool { return p.Contains(a) })
}
