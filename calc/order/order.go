// Package order finds the cheapest order in which bends can be made, or shows
// that there is none.
//
// It knows no geometry: it asks a Shop which ways there are to make a bend once
// others are made, and what going from one setup to the next costs. The search
// is exact for that cost: dynamic programming over the sets of bends made,
// keeping for each set the cheapest way to every setup it can end in. It
// assumes that a way to make a bend depends only on which bends are made, not
// on their order, and that a change depends only on two neighbouring setups.
package order

import "brakeside/calc/fault"

// Find searches the orders of n bends. Up to MostExact bends, and beyond while
// a best-first search can, the order is proven the cheapest; otherwise the best
// one found is given, unproven.
func Find(n int, start Setup, shop Bounded, watch Watch) (Found, error) {
	if n > Most {
		return Found{}, fault.New(fault.TooLarge, "", "the part has %d bends; at most %d are planned", n, Most)
	}
	s := newSearch(n, shop, watch)
	if n > MostExact {
		return s.large(start, shop)
	}
	if s.everySet(start); s.stopped {
		return Found{}, Cancelled
	}
	return s.answer(), nil
}

// large searches more bends than can be worked through set by set.
func (s *search) large(start Setup, shop Bounded) (Found, error) {
	f, proven := s.bestFirst(start, shop)
	if s.stopped {
		return Found{}, Cancelled
	}
	if !proven {
		f = s.beam(start, shop)
	}
	if !s.stopped && !proven && f.Actions == nil {
		f = s.anyhow(start)
	}
	if s.stopped {
		return Found{}, Cancelled
	}
	return f, nil
}
