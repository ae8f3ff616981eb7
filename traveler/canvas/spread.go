package canvas

// Label is a piece of text that belongs to a place on a line and takes up some
// of its length.
type Label struct{ At, Size float64 }

// Spread moves labels along a line so that no two overlap and all lie between
// low and high, in their order and each as near to its place as it can be: the
// sum of the squares of the shifts is the least there is (pooling of adjacent
// violators, Ayer and others 1955). The labels must be sorted by place. If
// they are longer than the line, they run over its high end.
func Spread(labels []Label, low, high float64) []float64 {
	offsets := offsets(labels)
	var pools []pool
	for i, l := range labels {
		pools = append(pools, pool{sum: l.At - offsets[i], count: 1})
		for n := len(pools); n > 1 && pools[n-2].mean() > pools[n-1].mean(); n = len(pools) {
			pools[n-2].sum += pools[n-1].sum
			pools[n-2].count += pools[n-1].count
			pools = pools[:n-1]
		}
	}
	least, most := low, high
	if n := len(labels); n > 0 {
		least += labels[0].Size / 2
		most -= offsets[n-1] + labels[n-1].Size/2
	}
	var placed []float64
	for _, p := range pools {
		for range p.count {
			placed = append(placed, max(least, min(most, p.mean()))+offsets[len(placed)])
		}
	}
	return placed
}

// pool is a run of labels that touch each other.
type pool struct {
	sum   float64
	count int
}

func (p pool) mean() float64 { return p.sum / float64(p.count) }

// offsets gives how far the middle of each label lies from the middle of the
// first when all touch.
func offsets(labels []Label) []float64 {
	at := make([]float64, len(labels))
	for i := 1; i < len(labels); i++ {
		at[i] = at[i-1] + (labels[i-1].Size+labels[i].Size)/2
	}
	return at
}

// Total is the length that the labels take when they touch.
func Total(labels []Label) float64 {
	sum := 0.0
	for _, l := range labels {
		sum += l.Size
	}
	return sum
}
