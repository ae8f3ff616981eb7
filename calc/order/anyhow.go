package order

import "math/bits"

// Of many bends the cheapest beginnings often lead nowhere, and then the search
// that keeps only those ends with nothing. What is left is to look for any order,
// bend by bend along the part, and to make it cheaper a stretch at a time.

// mostTried is how many questions the search for any order asks.
const mostTried = 20_000

// stretch is how many steps that follow each other are put in their best order at
// once, passes how often at most all stretches are gone through.
const (
	stretch = 6
	passes  = 8
)

// anyhow looks for any order at all and betters it. Nothing found proves nothing.
func (s *search) anyhow(start Setup) Found {
	sequence, found := s.anyOrder()
	if !found {
		return Found{Checks: s.checks}
	}
	best := s.along(start, sequence)
	for range passes {
		before := best.Minutes
		for from := 0; from+2 <= len(sequence) && s.watching(from, len(sequence)); from++ {
			if found := s.along(start, s.rearranged(best, start, from)); found.Actions != nil && found.Minutes < best.Minutes-tie {
				best = found
			}
		}
		if best.Minutes > before-tie {
			break
		}
	}
	return best
}

// anyOrder goes into the depth. First it keeps to sets after which every bend that
// is left can still be made at once: what a bend blocks, later ones seldom free
// again.
func (s *search) anyOrder() (sequence []int, found bool) {
	if sequence, found = s.anyOrderBy(s.open); found {
		return sequence, true
	}
	return s.anyOrderBy(func(Made) bool { return true })
}

// anyOrderBy keeps to the sets that are worth it, and to half of mostTried
// questions.
func (s *search) anyOrderBy(worth func(Made) bool) (sequence []int, found bool) {
	limit := s.checks + mostTried/2
	can := func(made Made, next int) bool { return len(s.actions(made, next)) > 0 }
	return deep(s.n, can, func(made Made) bool {
		return s.checks < limit && s.watching(bits.OnesCount32(uint32(made)), s.n) && (made == 0 || worth(made))
	})
}

// open reports whether every bend that is left can be made next.
func (s *search) open(made Made) bool {
	for next := range s.n {
		if !made.Has(next) && len(s.actions(made, next)) == 0 {
			return false
		}
	}
	return true
}

// along finds the cheapest actions for a given sequence of bends; it finds none
// where one of them cannot be made.
func (s *search) along(start Setup, sequence []int) Found {
	all := []best{{setup: s.number(start), before: -1}}
	level := []int32{0}
	for _, next := range sequence {
		var reached []int32
		for _, a := range s.actions(all[level[0]].made, next) {
			to, cheapest := s.number(a.Setup), best{cost: -1}
			for _, at := range level {
				from := all[at]
				if c := from.cost + s.change(from.setup, to) + a.Own; cheapest.cost < 0 || c < cheapest.cost-tie {
					cheapest = best{made: from.made | 1<<next, setup: to, before: at, cost: c, action: a}
				}
			}
			reached = append(reached, int32(len(all)))
			all = append(all, cheapest)
		}
		if level = reached; level == nil {
			return Found{Checks: s.checks}
		}
	}
	at := level[0]
	for _, i := range level {
		if all[i].cost < all[at].cost-tie {
			at = i
		}
	}
	f := s.pathOf(all, at)
	f.Proven = false
	return f
}

// rearranged puts one stretch of an order into its own cheapest order.
func (s *search) rearranged(f Found, start Setup, from int) []int {
	sequence := make([]int, len(f.Actions))
	for i, a := range f.Actions {
		sequence[i] = a.Bend
	}
	w := &window{search: s, bends: sequence[from:min(from+stretch, len(sequence))]}
	for _, a := range f.Actions[:from] {
		w.made |= 1 << a.Bend
		start = a.Setup
	}
	inner := newSearch(len(w.bends), w, nil)
	inner.everySet(start)
	out := append([]int(nil), sequence[:from]...)
	for _, a := range inner.answer().Actions {
		out = append(out, w.bends[a.Bend])
	}
	return append(out, sequence[from+len(w.bends):]...)
}

// window is the shop as seen from a stretch of an order: its bends only, with
// those before it made.
type window struct {
	*search
	made  Made
	bends []int
}

// whole gives the set of bends of the part for a set of those of the window.
func (w *window) whole(made Made) Made {
	out := w.made
	for i, b := range w.bends {
		if made.Has(i) {
			out |= 1 << b
		}
	}
	return out
}

// Actions implements Shop. The number of the bend stays that of the window, so
// that the search of the window can count with it.
func (w *window) Actions(made Made, next int) []Action {
	var out []Action
	for _, a := range w.actions(w.whole(made), w.bends[next]) {
		inner := *a
		inner.Bend = next
		out = append(out, inner)
	}
	return out
}

// Change implements Shop.
func (w *window) Change(from, to Setup) Minutes { return w.shop.Change(from, to) }

// Why implements Shop; nobody asks a window.
func (w *window) Why(Made, int) []Reason { return nil }
