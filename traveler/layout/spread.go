package layout

import "brakeside/calc/unit"

// spot is a dimension and where its figure is written.
type spot struct {
	value unit.Micron
	at    float64
}

// spread moves figures apart that would be written over each other, as little
// as it takes: those that touch are spread evenly about their middle, none nearer
// than the least.
func spread(values []unit.Micron, pitch, least float64) []spot {
	type group struct {
		from, to int
		middle   float64
	}
	inside := func(g group) group {
		g.middle = max(g.middle, least+pitch*float64(g.to-g.from-1)/2)
		return g
	}
	var groups []group
	for i, v := range values {
		groups = append(groups, inside(group{i, i + 1, mm(v)}))
		for n := len(groups); n > 1; n = len(groups) {
			a, b := groups[n-2], groups[n-1]
			if a.middle+pitch*float64(a.to-a.from)/2 <= b.middle-pitch*float64(b.to-b.from)/2+1e-9 {
				break
			}
			na, nb := float64(a.to-a.from), float64(b.to-b.from)
			groups = append(groups[:n-2], inside(group{a.from, b.to, (a.middle*na + b.middle*nb) / (na + nb)}))
		}
	}
	var out []spot
	for _, g := range groups {
		for i := g.from; i < g.to; i++ {
			out = append(out, spot{values[i], g.middle + pitch*(float64(i-g.from)-float64(g.to-g.from-1)/2)})
		}
	}
	return out
}
