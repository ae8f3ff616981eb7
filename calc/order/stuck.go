package order

// Stuck is a set of bends from which no bend can follow.
type Stuck struct {
	Made    Made
	Reasons []Reason
}

// DeadEnds lists the largest sets of bends that can be reached where there is no
// way to the end, and why each bend that is left cannot follow. Beyond MostExact
// bends it lists none: too many could be reached.
func DeadEnds(n int, shop Shop) []Stuck {
	if n > MostExact {
		return nil
	}
	var out []Stuck
	for level := []Made{0}; level != nil; {
		out = nil
		for _, made := range level {
			out = append(out, Stuck{Made: made})
		}
		level = following(n, shop, level)
	}
	for i := range out {
		for next := range n {
			if !out[i].Made.Has(next) {
				out[i].Reasons = append(out[i].Reasons, shop.Why(out[i].Made, next)...)
			}
		}
	}
	return out
}

// following lists the sets that one more bend makes of some, in the order of their
// numbers.
func following(n int, shop Shop, level []Made) []Made {
	reached := make([]bool, 1<<n)
	for _, made := range level {
		for next := range n {
			if to := made | 1<<next; to != made && !reached[to] {
				reached[to] = len(shop.Actions(made, next)) > 0
			}
		}
	}
	var out []Made
	for made, is := range reached {
		if is {
			out = append(out, Made(made))
		}
	}
	return out
}
