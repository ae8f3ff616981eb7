package web

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"slices"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

// localEndings are those of names that nobody on the internet can own: mDNS (RFC
// 6762), home networks (RFC 8375), private use (reserved by ICANN in 2024), and what
// many routers give out (common practice, no source).
var localEndings = []string{".local", ".home.arpa", ".internal", ".lan"}

// hosts are the names under which the service is reached. A page of somebody else
// whose name is made to lead to this machine comes under that name, and is refused.
type hosts []string

// hostsOf gives the names of this machine, that of an address, and those that were
// given beside.
func hostsOf(base string, given []string) hosts {
	own := hosts{"localhost"}
	own.add(hostIn(base))
	if name, err := os.Hostname(); err == nil {
		own.add(name)
		short, _, _ := strings.Cut(name, ".")
		own.add(short)
		for _, ending := range localEndings {
			own.add(short + ending)
		}
	}
	for _, name := range given {
		own.add(name)
	}
	return own
}

func (h *hosts) add(name string) {
	if name = plainHost(name); name != "" && !slices.Contains(*h, name) {
		*h = append(*h, name)
	}
}

// has reports whether a host is one of the names. An address in figures always is:
// it leads to this machine and cannot be made to.
func (h hosts) has(host string) bool {
	if _, err := netip.ParseAddr(host); err == nil {
		return true
	}
	return slices.Contains(h, host) || strings.HasSuffix(host, ".localhost")
}

// plainHost is a host without its port and its last dot, in small letters.
func plainHost(host string) string {
	if bare, _, err := net.SplitHostPort(host); err == nil {
		host = bare
	}
	return strings.ToLower(strings.TrimSuffix(strings.Trim(host, "[]"), "."))
}

// hostIn is the host of an address.
func hostIn(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return u.Hostname()
}

// isOwn reports whether a request came under a name of this service. The address
// that the owner has set up is looked up only for a name that is none of the others.
func (s *Site) isOwn(r *http.Request) bool {
	host := plainHost(r.Host)
	return s.hosts.has(host) || host != "" && host == s.hostSetUp(r.Context())
}

func (s *Site) hostSetUp(ctx context.Context) string {
	return plainHost(hostIn(s.Setting(ctx, store.SettingAddress)))
}

// misdirected answers a request that came under a foreign name.
func (s *Site) misdirected(_ http.ResponseWriter, r *http.Request) error {
	own := slices.Clone(s.hosts)
	own.add(s.hostSetUp(r.Context()))
	return &refusedWith{http.StatusMisdirectedRequest, fault.New(fault.Denied, "",
		"This service does not go by the name %.60q, but by %s, and by the number of its machine. The command serve takes more names: -names.",
		plainHost(r.Host), strings.Join(own, ", "))}
}
