package order

import "math/bits"

// Where questions end before an order is proven the cheapest, the cheapest
// beginnings often lead nowhere, and then the search that keeps only those ends
// with nothing. What is left is to look for any order, from its end, and to make it
// cheaper a stretch at a time.

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
		before := best.Cost
		for from := 0; from+2 <= len(sequence) && s.watching(from, len(sequence)); from++ {
			if found := s.along(start, s.rearranged(best, start, from)); found.Actions != nil && found.Cost.Under(best.Cost) {
				best = found
			}
		}
		if !best.Cost.Under(before) {
			break
		}
	}
	return best
}

// anyOrder looks for any order, into the depth, with mostTried questions.
func (s *search) anyOrder() (sequence []int, found bool) {
	limit := s.checks + mostTried
	can := func(made Made, next int) bool { return len(s.actions(made, next)) > 0 }
	return deep(s.n, can, func(made Made) bool {
		return s.checks < limit && s.watching(s.n-bits.OnesCount32(uint32(made)), s.n)
	})
}

// along finds the cheapest actions for a given sequence of bends; it finds none
// where one of them cannot be made.
func (s *search) along(start Setup, sequence []int) Found {
	all := []best{{setup: s.number(start), before: -1}}
	level := []int32{0}
	for _, next := range sequence {
		var reached []int32
		for _, w := range s.actions(all[level[0]].made, next) {
			cheapest := best{cost: endless}
			for _, at := range level {
				if e := s.on(all[at], at, w); e.cost.Under(cheapest.cost) {
					cheapest = e
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
		if all[i].cost.Under(all[at].cost) {
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
	inner, _ := newSearch(len(w.bends), w, nil).exact(start)
	out := append([]int(nil), sequence[:from]...)
	for _, a := range inner.Actions {
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

// among gives the set of bends of the part for a set of those of the window.
func (w *window) among(made Made) Made {
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
	for _, known := range w.actions(w.among(made), w.bends[next]) {
		inner := known.Action
		inner.Bend = next
		out = append(out, inner)
	}
	return out
}

// Change implements Shop.
func (w *window) Change(from, to Setup) Cost { return w.shop.Change(from, to) }

// Why implements Shop; nobody asks a window.
func (w *window) Why(Made, int) []Reason { return nil }
