package calc

import (
	"slices"

	"brakeside/calc/fault"
	"brakeside/calc/order"
)

// search finds the order that the options ask for.
func (s *shop) search(o Options) (order.Found, error) {
	asked, err := s.restricted(o)
	if err != nil {
		return order.Found{}, err
	}
	found, err := order.Find(len(s.operations), start, asked, o.Watch)
	if err != nil || found.Actions == nil || o.Next <= 0 {
		return found, err
	}
	return s.nextBest(found, asked, o)
}

// restricted pins the first bend if the options ask for one.
func (s *shop) restricted(o Options) (order.Bounded, error) {
	if o.First == "" {
		return s, nil
	}
	for i, joints := range s.operations {
		for _, j := range joints {
			if s.plan.Blank.Joints[j].ID == o.First {
				return &pinned{Bounded: s, path: []int{i}}, nil
			}
		}
	}
	return nil, fault.New(fault.Invalid, "first", "the part has no bend %q", o.First)
}

// pinned is a shop in which the first bends are fixed, and some bends may not
// come right after them.
type pinned struct {
	order.Bounded
	path   []int
	banned []int
}

// Actions implements order.Shop.
func (p *pinned) Actions(made order.Made, next int) []order.Action {
	if !p.allowed(made, next) {
		return nil
	}
	return p.Bounded.Actions(made, next)
}

// allowed asks whether a bend may come after a set: along the path only the
// next of the path, at its end none of the banned.
func (p *pinned) allowed(made order.Made, next int) bool {
	at := order.Made(0)
	for _, bend := range p.path {
		if made == at {
			return next == bend
		}
		at |= 1 << bend
	}
	return made != at || !slices.Contains(p.banned, next)
}

// candidate is the cheapest order of one part of all orders: those that begin
// with a path and do not go on from it with a banned bend.
type candidate struct {
	found  order.Found
	path   []int
	banned []int
}

// nextBest passes over better orders of the bends (Lawler's partition): each
// order found divides the rest into those that leave it after its first bend,
// after its second, and so on, and each such part is searched for its own best.
func (s *shop) nextBest(first order.Found, shop order.Bounded, o Options) (order.Found, error) {
	open := []candidate{{found: first}}
	for pass := 0; ; pass++ {
		best := -1
		for i, c := range open {
			if c.found.Actions != nil && (best < 0 || c.found.Minutes < open[best].found.Minutes-1e-12) {
				best = i
			}
		}
		if best < 0 {
			return order.Found{}, fault.New(fault.Missing, "next", "there are only %d orders", pass)
		}
		chosen := open[best]
		if pass == o.Next {
			chosen.found.Proven = false // not the cheapest: better ones were passed over
			return chosen.found, nil
		}
		open = slices.Delete(open, best, best+1)
		parts, err := s.divided(chosen, shop, o)
		if err != nil {
			return order.Found{}, err
		}
		open = append(open, parts...)
	}
}

// divided searches the parts that an order leaves.
func (s *shop) divided(c candidate, shop order.Bounded, o Options) ([]candidate, error) {
	var out []candidate
	for i := len(c.path); i < len(c.found.Actions); i++ {
		part := candidate{}
		for _, a := range c.found.Actions[:i] {
			part.path = append(part.path, a.Bend)
		}
		if i == len(c.path) {
			part.banned = slices.Clone(c.banned)
		}
		part.banned = append(part.banned, c.found.Actions[i].Bend)
		found, err := order.Find(len(s.operations), start, &pinned{shop, part.path, part.banned}, o.Watch)
		if err != nil {
			return nil, err
		}
		part.found = found
		out = append(out, part)
	}
	return out, nil
}

// AtLeast implements order.Bounded: every bend that is left costs its own least,
// a side not now up has to be turned up, and every angle not now set has to be
// set.
func (s *shop) AtLeast(made order.Made, now order.Setup) order.Minutes {
	m := s.plan.Brake.Minutes
	sum, over := 0.0, false
	stops := make([]int64, 0, 8)
	for i := range s.operations {
		if made.Has(i) {
			continue
		}
		sum += s.cheapest[i]
		over = over || s.up[i] != now.FaceUp
		if s.stops[i] != now.Stop && !slices.Contains(stops, s.stops[i]) {
			stops = append(stops, s.stops[i])
		}
	}
	if over {
		sum += m.TurnOver
	}
	setting := m.StopChange * float64(len(stops))
	if now.Bar == "" && len(stops) > 0 {
		setting = m.FirstSetup + m.StopChange*float64(len(stops)-1)
	}
	if s.plan.Run == ByStep {
		setting /= float64(s.plan.Quantity)
	}
	return order.Minutes(sum + setting)
}

// otherRun works out what the other order of the run would cost.
func (s *shop) otherRun(o Options) error {
	p := *s.plan
	if p.Quantity == 1 {
		s.plan.OtherRun = RunCost{} // one piece is made the same way in either
		return nil
	}
	p.Run = ByPiece
	if s.plan.Run == ByPiece {
		p.Run = ByStep
	}
	other := *s
	other.plan = &p
	o.Next = 0
	found, err := other.search(o)
	if err != nil {
		return err
	}
	s.plan.OtherRun = RunCost{Run: p.Run, Minutes: float64(found.Minutes)}
	for _, a := range found.Actions {
		s.plan.OtherRun.Bends = append(s.plan.OtherRun.Bends, s.plan.Blank.Joints[s.operations[a.Bend][0]].ID)
	}
	return nil
}
