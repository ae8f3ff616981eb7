// Package order finds the cheapest order in which bends can be made, or shows
// that there is none.
//
// It knows no geometry: it asks a Shop which ways there are to make a bend once
// others are made, and what going from one setup to the next costs. The search
// is exact for that cost: dynamic programming over the sets of bends made,
// keeping for each set the cheapest way to every setup it can end in. It
// assumes that a way to make a bend depends only on which bends are made, not
// on their order, and that effort depends only on two neighbouring setups.
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
	Bend   int
	Side   int // which of the two faces of the bend is clamped
	Place  string
	Detail int // a number of the shop's own
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
	// Actions lists every way to make bend next once made is done, or none with
	// the reasons.
	Actions(made Made, next int) ([]Action, []Reason)
	// Effort is the handling cost of doing to straight after from; before the
	// first bend from is the Setup the blank arrives in.
	Effort(from Setup, to Action) Minutes
}

// Most is the largest number of bends that the exact search takes.
const Most = 16

// Found is the answer of the search.
type Found struct {
	Actions []Action // in order; nil when there is no way
	Minutes Minutes
	States  int // setups visited
	Checks  int // questions asked of the shop
	// Stuck lists the largest sets of bends that can be reached when there is
	// no way to the end, and why each bend that is left cannot follow.
	Stuck []Stuck
}

// Stuck is a set of bends from which no bend can follow.
type Stuck struct {
	Made    Made
	Reasons []Reason
}

// node is the cheapest known way to end a set of bends in one setup.
type node struct {
	setup  Setup
	cost   Minutes
	action Action
	before int // node of the set without the last bend
	made   Made
}

// Find searches all orders of n bends.
func Find(n int, start Setup, shop Shop) (Found, error) {
	if n > Most {
		return Found{}, fault.New(fault.TooLarge, "", "the part has %d bends; the order of at most %d is worked out exactly", n, Most)
	}
	s := &search{n: n, shop: shop, ends: make([]map[Setup]int, 1<<n)}
	s.nodes = []node{{setup: start, before: -1}}
	s.ends[0] = map[Setup]int{start: 0}
	s.at = make([][]int, 1<<n)
	s.at[0] = []int{0}
	for made := Made(0); made < 1<<n; made++ {
		s.expand(made)
	}
	return s.answer(), nil
}

type search struct {
	n      int
	shop   Shop
	nodes  []node
	at     [][]int         // nodes of each set, in the order they were found
	ends   []map[Setup]int // the same by setup
	checks int
}

// expand goes on from every setup in which a set can end.
func (s *search) expand(made Made) {
	if s.at[made] == nil {
		return
	}
	for next := 0; next < s.n; next++ {
		if made.Has(next) {
			continue
		}
		actions, _ := s.shop.Actions(made, next)
		s.checks++
		for _, a := range actions {
			s.reach(made, made|1<<next, a)
		}
	}
}

// reach notes the cheapest way to make the last bend of a set by one action.
// Of equals the first found stays, so that lower bend numbers come first and
// two runs agree.
func (s *search) reach(from, to Made, a Action) {
	best, cost := -1, Minutes(math.Inf(1))
	for _, i := range s.at[from] {
		if c := s.nodes[i].cost + s.shop.Effort(s.nodes[i].setup, a); c < cost-1e-12 {
			best, cost = i, c
		}
	}
	if s.ends[to] == nil {
		s.ends[to] = map[Setup]int{}
	}
	made := node{setup: a.Setup, cost: cost, action: a, before: best, made: to}
	if i, known := s.ends[to][a.Setup]; !known {
		s.ends[to][a.Setup] = len(s.nodes)
		s.at[to] = append(s.at[to], len(s.nodes))
		s.nodes = append(s.nodes, made)
	} else if cost < s.nodes[i].cost-1e-12 {
		s.nodes[i] = made
	}
}

func (s *search) answer() Found {
	f := Found{States: len(s.nodes), Checks: s.checks}
	end := -1
	for _, i := range s.at[1<<s.n-1] {
		if end < 0 || s.nodes[i].cost < s.nodes[end].cost-1e-12 {
			end = i
		}
	}
	if end < 0 {
		f.Stuck = s.stuck()
		return f
	}
	f.Minutes = s.nodes[end].cost
	for i := end; s.nodes[i].before >= 0; i = s.nodes[i].before {
		f.Actions = append(f.Actions, s.nodes[i].action)
	}
	for i, j := 0, len(f.Actions)-1; i < j; i, j = i+1, j-1 {
		f.Actions[i], f.Actions[j] = f.Actions[j], f.Actions[i]
	}
	return f
}

// stuck lists the reachable sets that hold the most bends.
func (s *search) stuck() []Stuck {
	var out []Stuck
	most := -1
	for made := range Made(1 << s.n) {
		count := bits.OnesCount32(uint32(made))
		if s.at[made] == nil || count < most {
			continue
		}
		if count > most {
			most, out = count, nil
		}
		out = append(out, Stuck{Made: made, Reasons: s.reasons(made)})
	}
	return out
}

func (s *search) reasons(made Made) []Reason {
	var out []Reason
	for next := 0; next < s.n; next++ {
		if !made.Has(next) {
			_, reasons := s.shop.Actions(made, next)
			out = append(out, reasons...)
		}
	}
	return out
}
