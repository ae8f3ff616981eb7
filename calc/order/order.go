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

import (
	"math"
	"math/bits"

	"brakeside/calc/fault"
)

// Made is a set of bends, one bit each.
type Made uint32

// Has reports whether the set holds the bend.
func (m Made) Has(bend int) bool { return m&(1<<bend) != 0 }

// Setup is what stays as it is between two bends unless it is changed.
type Setup struct {
	Bar      string
	Segments string // widths from left to right, empty for a bar in one piece
	Leaf     string
	FaceUp   string // A or B
	Heading  int    // of the blank's x axis on the brake, in degrees
	Stop     int64  // of the leaf, hundredths of a degree in the brake's own scale
}

// Action is one way to make one bend.
type Action struct {
	Setup
	Bend  int
	Side  int // which of the two faces of the bend is clamped
	Place string
	Own   Minutes // what it costs whatever came before
}

// Minutes of handling.
type Minutes float64

// Reason says why one way to make a bend is not possible.
type Reason struct {
	Bend int
	Text string
}

// Shop knows the bends, the brake and the cost.
type Shop interface {
	// Actions lists every way to make bend next once made is done.
	Actions(made Made, next int) []Action
	// Change is the cost of going from one setup to the next; before the first
	// bend from is the setup that the blank arrives in.
	Change(from, to Setup) Minutes
	// Why tells why bend next cannot be made once made is done, one reason for
	// each way that was tried.
	Why(made Made, next int) []Reason
}

// MostExact is the largest number of bends for which all sets are worked
// through; Most the largest that is searched at all.
const (
	MostExact = 14
	Most      = 30
)

// Found is the answer of a search.
type Found struct {
	Actions []Action // in order; nil when none was found
	Minutes Minutes
	Proven  bool // the order is the cheapest, or that there is none is certain
	States  int  // setups reached
	Checks  int  // questions asked of the shop
	// Stuck lists the largest sets of bends that can be reached when there is
	// no way to the end, and why each bend that is left cannot follow.
	Stuck []Stuck
}

// Stuck is a set of bends from which no bend can follow.
type Stuck struct {
	Made    Made
	Reasons []Reason
}

// Watch is told how far a search has come, and says whether to go on.
type Watch func(done, all int) bool

// Cancelled is the refusal when a Watch ended a search.
var Cancelled = fault.New(fault.Busy, "", "planning was stopped before it was done")

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

func newSearch(n int, shop Shop, watch Watch) *search {
	return &search{n: n, shop: shop, watch: watch, numbers: map[Setup]int32{}, asked: map[question][]*Action{}}
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

// watching tells the watcher and reports whether to go on.
func (s *search) watching(done, all int) bool {
	if s.watch != nil && !s.watch(done, all) {
		s.stopped = true
	}
	return !s.stopped
}

// search keeps, for every set of bends, the cheapest way to end it in each
// setup. Setups are numbered, and the cost of a change is worked out once.
type search struct {
	n       int
	shop    Shop
	numbers map[Setup]int32
	setups  []Setup
	changes [][]Minutes // by number of setup; NaN is not yet worked out
	ends    [][]end
	asked   map[question][]*Action
	checks  int
	watch   Watch
	stopped bool
}

// end is the cheapest known way to end a set of bends in one setup.
type end struct {
	setup  int32
	before int32 // index of the end of the set without the last bend
	cost   Minutes
	action *Action
}

// number gives the number of a setup.
func (s *search) number(setup Setup) int32 {
	n, known := s.numbers[setup]
	if !known {
		n = int32(len(s.setups))
		s.numbers[setup] = n
		s.setups = append(s.setups, setup)
		s.changes = append(s.changes, nil)
	}
	return n
}

// change gives the cost of going from one setup to another.
func (s *search) change(from, to int32) Minutes {
	row := s.changes[from]
	for len(row) <= int(to) {
		row = append(row, Minutes(math.NaN()))
	}
	if math.IsNaN(float64(row[to])) {
		row[to] = s.shop.Change(s.setups[from], s.setups[to])
	}
	s.changes[from] = row
	return row[to]
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

// tie is how near two costs may be and still count as equal.
const tie = 1e-12

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
