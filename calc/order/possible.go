package order

// Possible reports whether there is any order at all. It looks at no cost, so
// it is done as soon as one order is found; that there is none it knows only
// after every set of bends that can be reached has been tried.
func Possible(n int, shop Shop) bool {
	can := func(made Made, next int) bool { return len(shop.Actions(made, next)) > 0 }
	_, found := deep(n, can, func(Made) bool { return true })
	return found
}

// deep looks for any sequence of all bends, into the depth, and remembers the sets
// from which there is no way to the end. It goes on only from the sets that on
// agrees with.
func deep(n int, can func(made Made, next int) bool, on func(made Made) bool) (sequence []int, found bool) {
	dead, all := map[Made]bool{}, Made(1)<<n-1
	var from func(made Made) bool
	from = func(made Made) bool {
		if made == all {
			return true
		}
		if dead[made] || !on(made) {
			return false
		}
		for next := range n {
			if made.Has(next) || !can(made, next) {
				continue
			}
			sequence = append(sequence, next)
			if from(made | 1<<next) {
				return true
			}
			sequence = sequence[:len(sequence)-1]
		}
		dead[made] = true
		return false
	}
	found = from(0)
	return sequence, found
}
