package order

import (
	"maps"
	"math/bits"
	"slices"
)

// MostExact is the largest number of bends for which the exact search has no end
// of questions; Most the largest that is searched at all.
const (
	MostExact = 14
	Most      = 30
)

// endless is more than any order costs.
var endless = Cost{Lifting: Most + 1}

// mostExactly is how many questions the exact search asks about more bends than
// MostExact before it is given up.
const mostExactly = 80_000

// exact finds the cheapest order, or that there is none, unless that takes too
// many questions. It goes backwards first, since nearly all sets of bends that can
// be reached from the flat blank lead nowhere: only from those that can be finished
// is it worth going on. All that is asked going forward was asked going back.
func (s *search) exact(start Setup) (Found, bool) {
	if !s.backwards() {
		return Found{}, false
	}
	if !s.finishing[0] {
		return Found{States: len(s.finishing), Checks: s.checks, Proven: true}, true
	}
	s.ends = map[Made][]end{0: {{setup: s.number(start), before: -1}}}
	for _, made := range slices.Sorted(maps.Keys(s.finishing)) { // each after all that are part of it
		s.expand(made)
	}
	return s.answer(), true
}

// atOnce is of how many sets the questions are asked at once.
const atOnce = 64

// backwards marks the sets of bends from which all can be made, those with the
// most bends first: those that one more bend brings to a set already marked. It
// reports whether it came to the flat blank, or to where nothing goes on.
func (s *search) backwards() bool {
	level := []Made{s.whole()}
	s.finishing = map[Made]bool{s.whole(): true}
	for s.decided = s.n; s.decided > 0 && level != nil; s.decided-- {
		var before []Made
		for sets := range slices.Chunk(level, atOnce) {
			if !s.watching(s.n-s.decided, s.n) || s.n > MostExact && s.checks > mostExactly {
				return false
			}
			before = s.shrink(sets, before)
		}
		level = before
	}
	return true
}

// shrink marks the sets that one bend brings to one of these, and adds them to a list.
func (s *search) shrink(sets, before []Made) []Made {
	var lasts []Question
	for _, made := range sets {
		for last := range s.n {
			if made.Has(last) {
				lasts = append(lasts, Question{made &^ (1 << last), last})
			}
		}
	}
	s.askAll(slices.Clone(lasts))
	for _, q := range lasts {
		if len(s.actions(q.Made, q.Next)) > 0 && !s.finishing[q.Made] {
			s.finishing[q.Made] = true
			before = append(before, q.Made)
		}
	}
	return before
}

// hopeless reports whether a set is known to lead nowhere.
func (s *search) hopeless(made Made) bool {
	return bits.OnesCount32(uint32(made)) >= s.decided && !s.finishing[made]
}

// expand goes on from every setup in which a set can end.
func (s *search) expand(made Made) {
	if s.ends[made] == nil {
		return
	}
	for next := range s.n {
		if made.Has(next) || !s.finishing[made|1<<next] {
			continue
		}
		for _, w := range s.actions(made, next) {
			s.reach(made, w)
		}
	}
}

// reach notes the cheapest way to make the last bend of a set by one action.
// Of equals the first found stays, so that lower bend numbers come first and
// two runs agree.
func (s *search) reach(from Made, w *way) {
	best, cost := int32(-1), endless
	for i, e := range s.ends[from] {
		if c := e.cost.Add(s.change(e.setup, w.setup)); c.Under(cost) {
			best, cost = int32(i), c
		}
	}
	next := end{setup: w.setup, before: best, cost: cost.Add(w.Own), way: w}
	ends := s.ends[from|1<<w.Bend]
	for i := range ends {
		if ends[i].setup == w.setup {
			if next.cost.Under(ends[i].cost) {
				ends[i] = next
			}
			return
		}
	}
	s.ends[from|1<<w.Bend] = append(ends, next)
}

func (s *search) answer() Found {
	f := Found{Checks: s.checks, Proven: true}
	for _, ends := range s.ends {
		f.States += len(ends)
	}
	at := int32(-1)
	for i, e := range s.ends[s.whole()] {
		if at < 0 || e.cost.Under(s.ends[s.whole()][at].cost) {
			at = int32(i)
		}
	}
	f.Cost = s.ends[s.whole()][at].cost
	f.Actions = s.path(s.whole(), at)
	return f
}

// path walks back from an end to the beginning.
func (s *search) path(made Made, at int32) []Action {
	out := make([]Action, bits.OnesCount32(uint32(made)))
	for i := len(out) - 1; i >= 0; i-- {
		e := s.ends[made][at]
		out[i] = e.way.Action
		made, at = made&^(1<<e.way.Bend), e.before
	}
	return out
}
