// Package admit decides who may begin costly work and when: how often one party
// may try, how many may be at it at once, and who waits for a place.
//
// It knows nothing of what the work is. A party is whoever is counted together,
// in any words that tell it from others.
package admit

import (
	"net/netip"
)

// MostWatched is how many parties are remembered by each of the types here: the
// memory is bounded whatever comes.
const MostWatched = 4096

// Party is who is counted together of those that ask over a network: an address of
// IPv4, or the 64 leading bits of one of IPv6, since whoever has one address there
// has all of that network (RFC 6177).
func Party(address string) string {
	ip, err := netip.ParseAddr(address)
	if err != nil {
		return address
	}
	ip = ip.Unmap().WithZone("")
	if ip.Is4() {
		return ip.String()
	}
	network, err := ip.Prefix(64)
	if err != nil {
		return address
	}
	return network.String()
}
