package order

import "math"

// search asks the shop, each question once. Setups are numbered, and the cost of a
// change is worked out once.
type search struct {
	n       int
	shop    Shop
	numbers map[Setup]int32
	setups  []Setup
	changes [][]Cost // by number of setup; of minutes that are NaN not yet worked out
	asked
	// finishing are the sets known to lead to the end; of those with at least
	// decided bends the others are known to lead nowhere.
	finishing map[Made]bool
	decided   int
	ends      map[Made][]end // the cheapest way to end a set in each setup
	checks    int
	watch     Watch
	stopped   bool
}

// end is the cheapest known way to end a set of bends in one setup.
type end struct {
	setup  int32
	before int32 // index of the end of the set without the last bend
	cost   Cost
	way    *way
}

// way is an action with the number of its setup.
type way struct {
	Action
	number int32
	setup  int32
}

// asked is what the shop has answered. Many sets of bends leave a bend the same
// room, so equal actions are kept once, and so are equal answers.
type asked struct {
	known   map[Question]int32 // index of the answer
	answers [][]*way
	same    map[string]int32 // index of the answer, by the numbers of its ways
	ways    map[Action]*way
}

func newAsked() asked {
	return asked{known: map[Question]int32{}, same: map[string]int32{}, ways: map[Action]*way{}}
}

func newSearch(n int, shop Shop, watch Watch) *search {
	return &search{n: n, shop: shop, watch: watch, numbers: map[Setup]int32{}, asked: newAsked(), decided: n + 1}
}

// whole is the set of all bends.
func (s *search) whole() Made { return 1<<s.n - 1 }

// watching tells the watcher and reports whether to go on.
func (s *search) watching(done, all int) bool {
	if s.watch != nil && !s.watch(done, all) {
		s.stopped = true
	}
	return !s.stopped
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
func (s *search) change(from, to int32) Cost {
	row := s.changes[from]
	for len(row) <= int(to) {
		row = append(row, Cost{Minutes: Minutes(math.NaN())})
	}
	if math.IsNaN(float64(row[to].Minutes)) {
		row[to] = s.shop.Change(s.setups[from], s.setups[to])
	}
	s.changes[from] = row
	return row[to]
}
