package scene

import (
	"slices"

	"brakeside/calc/geom"
)

// close makes a scene ready to be looked at, once all surfaces are in it.
func (c *scene) close() {
	c.shades = c.screens()
	c.cells = newGrid(c.shades)
}

// stretch is a stretch of a segment that is seen.
type stretch struct {
	segment
	at [2]geom.Point2
}

// visible gives what is seen of the lines of a scene.
func (c *scene) visible() []stretch {
	var out []stretch
	for _, s := range c.segments {
		l, ok := c.sightOf(s)
		if !ok {
			continue
		}
		for _, v := range open(c.hidden(l), l.to.Sub(l.from).Length()) {
			out = append(out, stretch{s, [2]geom.Point2{l.at(v.from), l.at(v.to)}})
		}
	}
	return out
}

// sightOf looks at a line; false where it is seen end on.
func (c *scene) sightOf(s segment) (sight, bool) {
	a, depthA := c.camera.see(s.from)
	b, depthB := c.camera.see(s.to)
	return sight{a, b, depthA, depthB}, b.Sub(a).Length() >= 1e-6
}

// hidden gives the stretches of a line that something hides.
func (c *scene) hidden(l sight) (out []span) {
	for _, i := range c.cells.around(l.from, l.to) {
		out = append(out, c.shades[i].hides(l)...)
	}
	return out
}

// screens looks at the facets; those seen edge on hide nothing.
func (c *scene) screens() []screen {
	var out []screen
	for _, f := range c.facets {
		s := screen{}
		var depths []float64
		for _, p := range f.ring {
			q, d := c.camera.see(p)
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
				q, _ := c.camera.see(p)
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
