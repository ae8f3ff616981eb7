package clash

import "brakeside/calc/fold"

// route lists the joints whose being made or not changes an answer; those that
// are bent on the bench itself are not among them.
type route []int

// route lists the joints of a set that may or may not be made.
func (b *Bench) route(joints fold.Made) route {
	var out route
	for j := range b.Blank.Joints {
		if joints.Has(j) && !b.bends(j) {
			out = append(out, j)
		}
	}
	return out
}

// pattern packs which joints of the route are made into one number.
func (r route) pattern(made fold.Made) uint64 {
	p := uint64(0)
	for i, j := range r {
		p |= uint64(made>>j&1) << i
	}
	return p
}

// mostDense is up to how many joints answers are kept in a table; beyond, most
// patterns never come up.
const mostDense = 10

// verdicts keeps, by pattern, whether two faces meet, in two bits.
type verdicts struct {
	route route
	table []uint8 // four patterns each: known, and yes
	rest  map[uint64]bool
}

// mostVerdicts is up to how many joints verdicts are kept in a table.
const mostVerdicts = 14

func newVerdicts(r route) *verdicts {
	v := &verdicts{route: r}
	if len(r) <= mostVerdicts {
		v.table = make([]uint8, (1<<len(r)+3)/4)
	} else {
		v.rest = map[uint64]bool{}
	}
	return v
}

// get gives the kept verdict, or works it out and keeps it.
func (v *verdicts) get(made fold.Made, work func() bool) bool {
	p := v.route.pattern(made)
	if v.table == nil {
		yes, known := v.rest[p]
		if !known {
			yes = work()
			v.rest[p] = yes
		}
		return yes
	}
	at := p % 4 * 2
	if v.table[p/4]>>at&1 == 0 {
		bits := uint8(1)
		if work() {
			bits = 3
		}
		v.table[p/4] |= bits << at
	}
	return v.table[p/4]>>at&2 != 0
}

// memo keeps answers by pattern.
type memo[T any] struct {
	route route
	table []*T
	rest  map[uint64]*T
}

func newMemo[T any](r route) *memo[T] {
	m := &memo[T]{route: r}
	if len(r) <= mostDense {
		m.table = make([]*T, 1<<len(r))
	} else {
		m.rest = map[uint64]*T{}
	}
	return m
}

// get gives the kept answer, or works it out and keeps it.
func (m *memo[T]) get(made fold.Made, work func() *T) *T {
	p := m.route.pattern(made)
	if m.table != nil {
		if m.table[p] == nil {
			m.table[p] = work()
		}
		return m.table[p]
	}
	t, known := m.rest[p]
	if !known {
		t = work()
		m.rest[p] = t
	}
	return t
}
