package calc

import (
	"slices"

	"brakeside/calc/fault"
	"brakeside/calc/fitting"
	"brakeside/calc/order"
	"brakeside/calc/process"
)

// search finds the order that the options ask for.
func (o Options) search(s *fitting.Station) (order.Found, error) {
	asked, err := o.restricted(s)
	if err != nil {
		return order.Found{}, err
	}
	found, err := order.Find(len(s.Operations), fitting.Start, asked, o.Watch)
	if err != nil || found.Actions == nil || o.Next <= 0 {
		return found, err
	}
	return o.nextBest(found, asked)
}

// restricted pins the first bend if the options ask for one.
func (o Options) restricted(s *fitting.Station) (order.Bounded, error) {
	if o.First == "" {
		return s, nil
	}
	for i, joints := range s.Operations {
		for _, j := range joints {
			if s.Plan.Blank.Joints[j].ID == o.First {
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
func (o Options) nextBest(first order.Found, shop order.Bounded) (order.Found, error) {
	open := []candidate{{found: first}}
	for pass := 0; ; pass++ {
		best := -1
		for i, c := range open {
			if c.found.Actions != nil && (best < 0 || c.found.Cost.Under(open[best].found.Cost)) {
				best = i
			}
		}
		if best < 0 {
			return order.Found{}, fault.New(fault.Missing, "next", "there are only %d orders", pass)
		}
		chosen := open[best]
		if pass == o.Next {
			chosen.found.Proven, chosen.found.AtLeast = false, order.Cost{} // better ones were passed over
			return chosen.found, nil
		}
		open = slices.Delete(open, best, best+1)
		parts, err := o.divided(chosen, shop)
		if err != nil {
			return order.Found{}, err
		}
		open = append(open, parts...)
	}
}

// divided searches the parts that an order leaves.
func (o Options) divided(c candidate, shop order.Bounded) ([]candidate, error) {
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
		found, err := order.Find(len(c.found.Actions), fitting.Start, &pinned{shop, part.path, part.banned}, o.Watch)
		if err != nil {
			return nil, err
		}
		part.found = found
		out = append(out, part)
	}
	return out, nil
}

// otherRun works out what the other order of the run would cost; one piece is
// made the same way in either.
func (o Options) otherRun(s *fitting.Station) (process.RunCost, error) {
	if s.Plan.Quantity == 1 {
		return process.RunCost{}, nil
	}
	run := process.ByPiece
	if s.Plan.Run == process.ByPiece {
		run = process.ByStep
	}
	o.Next = 0
	found, err := o.search(s.InRun(run))
	if err != nil {
		return process.RunCost{}, err
	}
	out := process.RunCost{Run: run, Minutes: float64(found.Cost.Minutes)}
	for _, a := range found.Actions {
		out.Bends = append(out.Bends, s.Plan.Blank.Joints[s.Operations[a.Bend][0]].ID)
	}
	return out, nil
}
