// Package drawing cuts a drawn blank into faces along its bend lines.
//
// A drawing is an outer edge, openings and straight bend lines, in millimetres.
// A bend line that runs out over an edge is trimmed there, one that crosses an
// opening is a bend with a gap. What cannot be folded is refused with the place
// in the drawing: a bend line that ends inside the sheet, bend lines that cross.
package drawing

import (
	"cmp"
	"math"
	"slices"

	"brakeside/calc/geom"
)

// Cut cuts the blank. What it refuses is fault.Invalid, with coordinates in the
// message.
func (b Blank) Cut() (Cut, error) {
	c := &cutter{}
	c.ring(oriented(b.Outline, true))
	for _, o := range b.Openings {
		c.ring(oriented(o, false))
	}
	for i, line := range b.Bends {
		c.bend(i, line)
	}
	if c.err == nil {
		c.crossings(b.Bends)
	}
	if c.err != nil {
		return Cut{}, c.err
	}
	c.walk()
	out := c.faces(b)
	if c.err != nil {
		return Cut{}, c.err
	}
	return out, nil
}

func oriented(g geom.Polygon, anticlockwise bool) geom.Polygon {
	if (g.Area() > 0) != anticlockwise {
		return g.Reversed()
	}
	return g
}

func (c *cutter) ring(g geom.Polygon) {
	for i, p := range g {
		c.edges = append(c.edges, edge{p, g[(i+1)%len(g)]})
		c.stops = append(c.stops, nil)
	}
	c.rings = append(c.rings, g)
}

// crossing is where a bend line meets an edge.
type crossing struct {
	along float64 // from the beginning of the bend line, in millimetres
	edge  int
	stop  stop
}

// bend finds the stretches of a bend line that lie in the sheet.
func (c *cutter) bend(number int, line Line) {
	v := line[1].Sub(line[0])
	long := v.Length()
	if long < Snap {
		c.refuse("the bend line at (%.2f, %.2f) has no length", line[0].X, line[0].Y)
		return
	}
	v = v.Times(1 / long)
	met := c.met(line, v, long)
	before := len(c.pieces)
	at := 0.0
	var last *crossing
	for i := 0; i <= len(met); i++ {
		to := long
		var next *crossing
		if i < len(met) {
			next, to = &met[i], met[i].along
		}
		if middle := line[0].Add(v.Times((at + to) / 2)); to-at > Snap && c.inSheet(middle) && c.distance(middle) > Snap {
			c.piece(number, line, last, next)
		}
		at, last = to, next
	}
	if len(c.pieces) == before {
		c.refuse("the bend line from (%.2f, %.2f) to (%.2f, %.2f) does not cross the sheet", line[0].X, line[0].Y, line[1].X, line[1].Y)
	}
}

// piece adds a stretch of a bend line between two crossings; it must not end
// inside the sheet.
func (c *cutter) piece(number int, line Line, from, to *crossing) {
	for k, end := range []*crossing{from, to} {
		if end == nil {
			c.refuse("the bend line from (%.2f, %.2f) to (%.2f, %.2f) ends inside the sheet at (%.2f, %.2f), %.2f mm from the nearest edge; "+
				"draw it to the edge, or cut a relief to its end",
				line[0].X, line[0].Y, line[1].X, line[1].Y, line[k].X, line[k].Y, c.distance(line[k]))
			return
		}
	}
	c.stops[from.edge] = append(c.stops[from.edge], from.stop)
	c.stops[to.edge] = append(c.stops[to.edge], to.stop)
	c.pieces = append(c.pieces, Piece{Bend: number, Line: Line{from.stop.p, to.stop.p}, Faces: [2]int{-1, -1}})
}

// met lists where a line meets the rings, in its own order. Places nearer to
// each other than Snap are one.
func (c *cutter) met(line Line, v geom.Point2, long float64) []crossing {
	var out []crossing
	for i, e := range c.edges {
		if hit, ok := e.meets(line[0], v, long); ok {
			hit.edge = i
			out = append(out, hit)
		}
	}
	slices.SortStableFunc(out, func(a, b crossing) int { return cmp.Compare(a.along, b.along) })
	return slices.CompactFunc(out, func(a, b crossing) bool { return math.Abs(b.along-a.along) < Snap })
}

// meets tells where a line meets the edge: at a corner of it if one is near,
// so that a line drawn to a corner ends there.
func (e edge) meets(from, v geom.Point2, long float64) (crossing, bool) {
	for k, corner := range []geom.Point2{e.from, e.to} {
		w := corner.Sub(from)
		if at := v.Dot(w); math.Abs(v.Cross(w)) < Snap && at > -Snap && at < long+Snap {
			return crossing{along: at, stop: stop{float64(k), corner}}, true
		}
	}
	a, b := v.Cross(e.from.Sub(from)), v.Cross(e.to.Sub(from))
	if (a > 0) == (b > 0) {
		return crossing{}, false
	}
	share := a / (a - b)
	p := e.from.Add(e.to.Sub(e.from).Times(share))
	at := v.Dot(p.Sub(from))
	return crossing{along: at, stop: stop{share, p}}, at > -Snap && at < long+Snap
}

// inSheet reports whether a place lies in the outline and in no opening.
func (c *cutter) inSheet(p geom.Point2) bool {
	for i, g := range c.rings {
		if g.Holds(p) == (i > 0) {
			return false
		}
	}
	return true
}

// distance is how far the nearest edge lies from a place.
func (c *cutter) distance(p geom.Point2) float64 {
	least := math.Inf(1)
	for _, e := range c.edges {
		least = min(least, geom.Apart(geom.Polygon{p}, geom.Polygon{e.from, e.to}))
	}
	return least
}

// crossings refuses bend lines that cross each other or lie over each other in
// the sheet.
func (c *cutter) crossings(bends []Line) {
	for i, p := range c.pieces {
		for _, q := range c.pieces[:i] {
			if at, cross := p.Line.crosses(q.Line); cross {
				a, b := bends[q.Bend], bends[p.Bend]
				c.refuse("the bend lines from (%.2f, %.2f) to (%.2f, %.2f) and from (%.2f, %.2f) to (%.2f, %.2f) meet at (%.2f, %.2f); a sheet "+
					"cannot be folded along both, so cut a relief there or leave one out",
					a[0].X, a[0].Y, a[1].X, a[1].Y, b[0].X, b[0].Y, b[1].X, b[1].Y, at.X, at.Y)
				return
			}
		}
	}
}

// crosses reports whether two lines have more in common than an end that both
// have at an edge of the sheet.
func (l Line) crosses(m Line) (geom.Point2, bool) {
	v, w := l[1].Sub(l[0]).Unit(), m[1].Sub(m[0]).Unit()
	if math.Abs(v.Cross(w)) < 1e-6 {
		if math.Abs(v.Cross(m[0].Sub(l[0]))) > Snap {
			return geom.Point2{}, false
		}
		a, b := v.Dot(m[0].Sub(l[0])), v.Dot(m[1].Sub(l[0]))
		low, high := max(0, min(a, b)), min(l[1].Sub(l[0]).Length(), max(a, b))
		return l[0].Add(v.Times((low + high) / 2)), high-low > Snap
	}
	if !geom.Meet(l[0], l[1], m[0], m[1]) {
		return geom.Point2{}, false
	}
	at := l[0].Add(v.Times(w.Cross(m[0].Sub(l[0])) / w.Cross(v)))
	for _, p := range l {
		for _, q := range m {
			if p.Sub(q).Length() < Snap {
				return at, false
			}
		}
	}
	return at, true
}
