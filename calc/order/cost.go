package order

// Cost is what making bends costs, in levels: the cheaper of two costs has fewer
// lifting steps; of as many it takes fewer minutes; of equals it has less besides.
type Cost struct {
	Lifting int // steps whose load is over what holds the bar down
	Minutes Minutes
	Besides float64 // what decides only between equals
}

// Minutes of handling.
type Minutes float64

// Add adds another cost.
func (c Cost) Add(o Cost) Cost {
	return Cost{c.Lifting + o.Lifting, c.Minutes + o.Minutes, c.Besides + o.Besides}
}

// Under reports whether a cost is less than another by more than rounding.
func (c Cost) Under(o Cost) bool {
	switch {
	case c.Lifting != o.Lifting:
		return c.Lifting < o.Lifting
	case c.Minutes < o.Minutes-tie || c.Minutes > o.Minutes+tie:
		return c.Minutes < o.Minutes
	}
	return c.Besides < o.Besides-tieBesides
}

// tie is how near two costs may be, in minutes, and still count as equal; tieBesides
// the same for what there is besides.
const (
	tie        = 1e-12
	tieBesides = 1e-6
)
