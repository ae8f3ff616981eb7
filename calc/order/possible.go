package order

// Possible reports whether an order is found. It looks at no cost, so it is done as
// soon as there is one. Up to MostExact bends none is missed.
func Possible(n int, shop Shop) bool {
	possible, _ := decide(n, shop)
	return possible
}

// Impossible reports whether it is certain that there is no order; up to MostExact
// bends that is when Possible finds none.
func Impossible(n int, shop Shop) bool {
	possible, certain := decide(n, shop)
	return !possible && certain
}

// decide looks for any order, and tells whether its answer is certain.
func decide(n int, shop Shop) (possible, certain bool) {
	checks := 0
	can := func(made Made, next int) bool {
		checks++
		return len(shop.Actions(made, next)) > 0
	}
	_, possible = deep(n, can, func(Made) bool { return n <= MostExact || checks < mostExactly })
	return possible, possible || n <= MostExact || checks < mostExactly
}

// deep looks for any sequence of all bends, into the depth and from the last bend
// to the first, and remembers the sets that cannot be come to. Backwards it seldom
// turns round: with a bend fewer there is more room for the others. It goes on only
// from the sets that on agrees with.
func deep(n int, can func(made Made, next int) bool, on func(made Made) bool) (sequence []int, found bool) {
	dead, sequence := map[Made]bool{}, make([]int, n)
	var to func(made Made, count int) bool
	to = func(made Made, count int) bool {
		if count == 0 {
			return true
		}
		if dead[made] || !on(made) {
			return false
		}
		for last := n - 1; last >= 0; last-- {
			from := made &^ (1 << last)
			if from == made || !can(from, last) {
				continue
			}
			sequence[count-1] = last
			if to(from, count-1) {
				return true
			}
		}
		dead[made] = true
		return false
	}
	return sequence, to(1<<n-1, n)
}
