package order

import (
	"container/heap"
	"slices"
)

// mostAsked is how many questions more the best-first search asks the shop before
// it gives up proving the cheapest order. Questions are what takes time: each may
// have to place the whole part in the brake anew.
const mostAsked = 8_000

// beamWidth is how many ends of each size the labelled search keeps.
const beamWidth = 16

// best is an end of a set of bends while the best-first search goes on.
type best struct {
	made   Made
	setup  int32
	before int32
	cost   Cost // from the beginning
	bound  Cost // cost and the least of what is left
	way    *way
	done   bool
}

// front is a heap of ends by bound; of equals the one with more bends made
// comes first, then the one found first.
type front struct {
	all  *[]best
	open []int32
}

func (f front) Len() int { return len(f.open) }

func (f front) Less(i, j int) bool {
	a, b := (*f.all)[f.open[i]], (*f.all)[f.open[j]]
	if less := a.bound.Under(b.bound); less || b.bound.Under(a.bound) {
		return less
	}
	if a.made != b.made {
		return a.made > b.made
	}
	return f.open[i] < f.open[j]
}

func (f front) Swap(i, j int) { f.open[i], f.open[j] = f.open[j], f.open[i] }
func (f *front) Push(x any)   { f.open = append(f.open, x.(int32)) }
func (f *front) Pop() any {
	last := f.open[len(f.open)-1]
	f.open = f.open[:len(f.open)-1]
	return last
}

// bestFirst searches by A*: always on from the end whose cost and least rest
// are together the smallest. The first whole order is then the cheapest. It
// gives up after mostAsked questions, and then knows what no order costs less than.
func (s *search) bestFirst(start Setup, shop Bounded) (Found, bool) {
	type place struct {
		made  Made
		setup int32
	}
	all := []best{{setup: s.number(start), before: -1, bound: shop.AtLeast(0, start)}}
	index := map[place]int32{{0, all[0].setup}: 0}
	open := &front{all: &all, open: []int32{0}}
	before := s.checks
	for open.Len() > 0 && s.checks < before+mostAsked {
		at := heap.Pop(open).(int32)
		if all[at].done {
			continue
		}
		all[at].done = true
		if all[at].made == s.whole() {
			return s.pathOf(all, at), true
		}
		if !s.watching(s.checks-before, mostAsked) {
			return Found{}, false
		}
		from := all[at]
		for next := range s.n {
			if from.made.Has(next) || s.hopeless(from.made|1<<next) {
				continue
			}
			for _, w := range s.actions(from.made, next) {
				e := s.on(from, at, w)
				key := place{e.made, e.setup}
				if old, known := index[key]; known && !e.cost.Under(all[old].cost) {
					continue
				}
				e.bound = e.cost.Add(shop.AtLeast(e.made, w.Setup))
				index[key] = int32(len(all))
				all = append(all, e)
				heap.Push(open, int32(len(all)-1))
			}
		}
	}
	f := Found{States: len(all), Checks: s.checks, Proven: open.Len() == 0}
	if !f.Proven {
		f.AtLeast = all[open.open[0]].bound.Add(Cost{Minutes: -tie})
	}
	return f, f.Proven
}

// on is the end that one way more leads to from another.
func (s *search) on(from best, at int32, w *way) best {
	cost := from.cost.Add(s.change(from.setup, w.setup)).Add(w.Own)
	return best{made: from.made | 1<<w.Bend, setup: w.setup, before: at, cost: cost, way: w}
}

func (s *search) pathOf(all []best, at int32) Found {
	f := Found{Cost: all[at].cost, States: len(all), Checks: s.checks, Proven: true}
	for i := at; all[i].before >= 0; i = all[i].before {
		f.Actions = append(f.Actions, all[i].way.Action)
	}
	slices.Reverse(f.Actions)
	return f
}

// beam keeps only the most promising ends of each number of bends. Every step
// of what it finds is as sound as any, only that nothing cheaper exists is not
// proven; and that it finds nothing proves nothing.
func (s *search) beam(start Setup, shop Bounded) Found {
	all := []best{{setup: s.number(start), before: -1}}
	level := []int32{0}
	for made := range s.n {
		if !s.watching(made, s.n) {
			break
		}
		level = s.nextLevel(&all, level, shop)
	}
	if len(level) == 0 || all[level[0]].made != s.whole() {
		return Found{States: len(all), Checks: s.checks}
	}
	f := s.pathOf(all, level[0])
	f.Proven = false
	return f
}

func (s *search) nextLevel(all *[]best, level []int32, shop Bounded) []int32 {
	type place struct {
		made  Made
		setup int32
	}
	index := map[place]int32{}
	var out []int32
	for _, at := range level {
		from := (*all)[at]
		for next := range s.n {
			if from.made.Has(next) || s.hopeless(from.made|1<<next) {
				continue
			}
			for _, w := range s.actions(from.made, next) {
				e := s.on(from, at, w)
				e.bound = e.cost.Add(shop.AtLeast(e.made, w.Setup))
				key := place{e.made, e.setup}
				if old, known := index[key]; !known {
					index[key] = int32(len(*all))
					out = append(out, int32(len(*all)))
					*all = append(*all, e)
				} else if e.cost.Under((*all)[old].cost) {
					(*all)[old] = e
				}
			}
		}
	}
	slices.SortStableFunc(out, func(i, j int32) int {
		switch a, b := (*all)[i].bound, (*all)[j].bound; {
		case a.Under(b):
			return -1
		case b.Under(a):
			return 1
		}
		return 0
	})
	return out[:min(len(out), beamWidth)]
}
