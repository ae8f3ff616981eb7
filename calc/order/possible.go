package order

// Possible reports whether there is any order at all. It looks at no cost, so
// it is done as soon as one order is found; that there is none it knows only
// after every set of bends that can be reached has been tried.
func Possible(n int, shop Shop) bool {
	dead := map[Made]bool{}
	all := Made(1)<<n - 1
	var from func(made Made) bool
	from = func(made Made) bool {
		if made == all {
			return true
		}
		if dead[made] {
			return false
		}
		for next := range n {
			if !made.Has(next) && len(shop.Actions(made, next)) > 0 && from(made|1<<next) {
				return true
			}
		}
		dead[made] = true
		return false
	}
	return from(0)
}
