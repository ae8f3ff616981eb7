package fitting

import "brakeside/calc/clash"

// packed reports whether the bar of a way needs a packing strip under its back:
// flat metal does not reach to the middle of its depth, so that it would rock on
// the edge of what it holds (common practice, no source). A bar in one piece
// must find metal there in either half of the bend, each finger for itself.
func (t *trial) packed(w *way) bool {
	middle := float64(t.Plan.Brake.Bars[w.bar].Depth)/2 - hair
	for _, stretch := range t.rests(w) {
		if t.bench.Support(t.made, w.bar, stretch, middle) < middle {
			return true
		}
	}
	return false
}

// rests lists the stretches of the bend in each of which the bar must rest.
func (t *trial) rests(w *way) []clash.Stretch {
	if w.segments == nil {
		long := float64(t.bench.Length)
		return []clash.Stretch{{High: long / 2}, {Low: long / 2, High: long}}
	}
	out := make([]clash.Stretch, len(w.segments))
	for i, s := range w.segments {
		out[i] = clash.Stretch{Low: s.At, High: s.At + float64(s.Width)}
	}
	return out
}
