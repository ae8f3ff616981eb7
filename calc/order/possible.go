package order

import "math"

// mostTried is how many questions more the search for any order asks.
const mostTried = 20_000

// Possible reports whether an order is found. It looks at no cost, so it is done as
// soon as there is one. Up to MostExact bends none is missed.
func Possible(n int, shop Shop) bool {
	possible, _, _ := decide(n, shop, enough(n))
	return possible
}

// Impossible reports whether it is certain that there is no order; up to MostExact
// bends that is when Possible finds none.
func Impossible(n int, shop Shop) bool {
	possible, certain, _ := decide(n, shop, enough(n))
	return !possible && certain
}

// Within is Possible with so many questions at the most, and tells how many were
// asked. What is not found within them may be possible all the same. They should be
// fewer than Find asks where it looks for any order, so that what is found here is
// found there too.
func Within(n int, shop Shop, most int) (possible bool, asked int) {
	possible, _, asked = decide(n, shop, min(most, mostTried))
	return possible, asked
}

// enough is how many questions decide whether there is an order.
func enough(n int) int {
	if n <= MostExact {
		return math.MaxInt
	}
	return mostExactly
}

// decide looks for any order with so many questions, and tells whether its answer
// is certain and how many were asked.
func decide(n int, shop Shop, most int) (possible, certain bool, asked int) {
	can := func(made Made, next int) bool { return len(shop.Actions(made, next)) > 0 }
	if decider, ok := shop.(Decider); ok {
		can = decider.Can
	}
	counted := func(made Made, next int) bool {
		asked++
		return can(made, next)
	}
	_, possible = deep(n, counted, func(Made) bool { return asked < most })
	return possible, possible || asked < most, asked
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
