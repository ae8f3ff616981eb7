package iso

import (
	"slices"

	"brakeside/calc/geom"
)

// stroke is what is seen of a line, on the page, y up.
type stroke struct {
	from, to geom.Point2
	kind     kind
	wide     float64
}

// visible gives what is seen of the lines of a mesh.
func (m *mesh) visible() []stroke {
	shades := m.screens()
	g := newGrid(shades)
	var out []stroke
	for _, s := range m.segments {
		a, depthA := m.part.side.see(s.from)
		b, depthB := m.part.side.see(s.to)
		if b.Sub(a).Length() < 1e-6 {
			continue
		}
		l := sight{a, b, depthA, depthB}
		var hidden []span
		for _, i := range g.around(a, b) {
			hidden = append(hidden, shades[i].hides(l)...)
		}
		for _, v := range open(hidden, b.Sub(a).Length()) {
			out = append(out, stroke{l.at(v.from), l.at(v.to), s.kind, s.wide})
		}
	}
	return out
}

// screens looks at the facets; those seen edge on hide nothing.
func (m *mesh) screens() []screen {
	var out []screen
	for _, f := range m.facets {
		s := screen{}
		var depths []float64
		for _, p := range f.ring {
			q, d := m.part.side.see(p)
			s.ring, depths = append(s.ring, q), append(depths, d)
		}
		if !s.lay(depths) {
			continue
		}
		if s.ring.Area() < 0 {
			s.ring = s.ring.Reversed()
		}
		s.low, s.high = geom.Bounds(s.ring...)
		for _, h := range f.holes {
			var ring geom.Polygon
			for _, p := range h {
				q, _ := m.part.side.see(p)
				ring = append(ring, q)
			}
			s.holes = append(s.holes, ring)
		}
		out = append(out, s)
	}
	return out
}

// least is the least length, in millimetres of the part, that is drawn of a line
// which is hidden in part: two facets that meet in front of it leave less.
const least = 0.05

// open gives what hidden stretches leave of a line of some length.
func open(hidden []span, long float64) []span {
	slices.SortFunc(hidden, func(a, b span) int {
		switch {
		case a.from < b.from:
			return -1
		case a.from > b.from:
			return 1
		}
		return 0
	})
	var out []span
	at := 0.0
	for _, h := range append(hidden, span{1, 1}) {
		if (h.from-at)*long > least || len(hidden) == 0 {
			out = append(out, span{at, h.from})
		}
		at = max(at, h.to)
	}
	return out
}
