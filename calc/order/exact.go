package order

import (
	"math"
	"math/bits"
)

// MostExact is the largest number of bends for which all sets are worked
// through; Most the largest that is searched at all.
const (
	MostExact = 14
	Most      = 30
)

// everySet works through all sets, each after all that are part of it.
func (s *search) everySet(start Setup) {
	s.ends = make([][]end, 1<<s.n)
	s.ends[0] = []end{{setup: s.number(start), before: -1}}
	for made := Made(0); made < 1<<s.n; made++ {
		if made%64 == 0 && !s.watching(int(made), 1<<s.n) {
			return
		}
		s.expand(made)
	}
}

// expand goes on from every setup in which a set can end.
func (s *search) expand(made Made) {
	if s.ends[made] == nil {
		return
	}
	for next := range s.n {
		if made.Has(next) {
			continue
		}
		actions := s.shop.Actions(made, next)
		s.checks++
		for i := range actions {
			s.reach(made, &actions[i])
		}
	}
}

// reach notes the cheapest way to make the last bend of a set by one action.
// Of equals the first found stays, so that lower bend numbers come first and
// two runs agree.
func (s *search) reach(from Made, a *Action) {
	to := s.number(a.Setup)
	best, cost := int32(-1), Minutes(math.Inf(1))
	for i, e := range s.ends[from] {
		if c := e.cost + s.change(e.setup, to); c < cost-tie {
			best, cost = int32(i), c
		}
	}
	next := end{setup: to, before: best, cost: cost + a.Own, action: a}
	ends := s.ends[from|1<<a.Bend]
	for i := range ends {
		if ends[i].setup == to {
			if next.cost < ends[i].cost-tie {
				ends[i] = next
			}
			return
		}
	}
	s.ends[from|1<<a.Bend] = append(ends, next)
}

func (s *search) answer() Found {
	f := Found{Checks: s.checks, Proven: true}
	for _, ends := range s.ends {
		f.States += len(ends)
	}
	all := Made(1)<<s.n - 1
	at := int32(-1)
	for i, e := range s.ends[all] {
		if at < 0 || e.cost < s.ends[all][at].cost-tie {
			at = int32(i)
		}
	}
	if at < 0 {
		f.Stuck = s.stuck()
		return f
	}
	f.Minutes = s.ends[all][at].cost
	f.Actions = s.path(all, at)
	return f
}

// path walks back from an end to the beginning.
func (s *search) path(made Made, at int32) []Action {
	out := make([]Action, bits.OnesCount32(uint32(made)))
	for i := len(out) - 1; i >= 0; i-- {
		e := s.ends[made][at]
		out[i] = *e.action
		made, at = made&^(1<<e.action.Bend), e.before
	}
	return out
}

// stuck lists the reachable sets that hold the most bends.
func (s *search) stuck() []Stuck {
	var out []Stuck
	most := -1
	for made := range Made(1) << s.n {
		count := bits.OnesCount32(uint32(made))
		if s.ends[made] == nil || count < most {
			continue
		}
		if count > most {
			most, out = count, nil
		}
		out = append(out, Stuck{Made: made})
	}
	for i := range out {
		for next := range s.n {
			if !out[i].Made.Has(next) {
				out[i].Reasons = append(out[i].Reasons, s.shop.Why(out[i].Made, next)...)
			}
		}
	}
	return out
}
