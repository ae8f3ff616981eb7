// Package order finds the cheapest order in which bends can be made, or shows
// that there is none.
//
// It knows no geometry: it asks a Shop which ways there are to make a bend once
// others are made, and what going from one setup to the next costs. The search
// is exact for that cost: dynamic programming over the sets of bends made from
// which the part can be finished, keeping for each the cheapest way to every setup
// it can end in. It assumes that a way to make a bend depends only on which bends are made, not
// on their order, and that a change depends only on two neighbouring setups.
package order

import "brakeside/calc/fault"

// Find searches the orders of n bends. Up to MostExact bends, and beyond as far as
// the questions reach, the order is proven the cheapest or that there is none is
// certain; otherwise the best one found is given, unproven.
func Find(n int, start Setup, shop Bounded, watch Watch) (Found, error) {
	if n > Most {
		return Found{}, fault.New(fault.TooLarge, "", "the part has %d bends; at most %d are planned", n, Most)
	}
	s := newSearch(n, shop, watch)
	f, done := s.exact(start)
	if !done && !s.stopped {
		f = s.large(start, shop)
	}
	if s.stopped {
		return Found{}, Cancelled
	}
	return f, nil
}

// large searches more bends than can be worked through set by set.
func (s *search) large(start Setup, shop Bounded) Found {
	first, proven := s.bestFirst(start, shop)
	if proven || s.stopped {
		return first
	}
	f := s.beam(start, shop)
	if f.Actions == nil && !s.stopped {
		f = s.anyhow(start)
	}
	f.AtLeast = first.AtLeast
	return f
}
