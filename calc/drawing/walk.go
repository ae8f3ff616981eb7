package drawing

import (
	"cmp"
	"math"
	"slices"

	"brakeside/calc/geom"
)

// walk makes half-edges of everything and follows them round.
func (c *cutter) walk() {
	for i, e := range c.edges {
		at := e.from
		slices.SortStableFunc(c.stops[i], func(a, b stop) int { return cmp.Compare(a.at, b.at) })
		for _, s := range c.stops[i] {
			if s.p != at && s.p != e.to {
				c.half = append(c.half, halfEdge{from: at, to: s.p, piece: -1, loop: -1})
				at = s.p
			}
		}
		c.half = append(c.half, halfEdge{from: at, to: e.to, piece: -1, loop: -1})
	}
	for i, p := range c.pieces {
		c.half = append(c.half,
			halfEdge{from: p.Line[0], to: p.Line[1], piece: i, forward: true, loop: -1},
			halfEdge{from: p.Line[1], to: p.Line[0], piece: i, loop: -1})
	}
	from := map[geom.Point2][]int{}
	for i, h := range c.half {
		from[h.from] = append(from[h.from], i)
	}
	for i := range c.half {
		if c.half[i].loop < 0 {
			c.follow(i, from)
		}
	}
}

// follow walks one loop, turning as far to the left as can be, so that the
// smallest face at the left is gone round.
func (c *cutter) follow(start int, from map[geom.Point2][]int) {
	number := len(c.loops)
	var ring geom.Polygon
	for at := start; c.half[at].loop < 0; {
		h := &c.half[at]
		h.loop = number
		ring = append(ring, h.from)
		heading := h.to.Sub(h.from)
		best, sharpest := -1, math.Inf(-1)
		for _, next := range from[h.to] {
			on := c.half[next].to.Sub(c.half[next].from)
			turn := math.Atan2(heading.Cross(on), heading.Dot(on))
			if back := c.half[next].piece >= 0 && c.half[next].piece == h.piece; back {
				turn = -math.Pi // only when there is no other way
			}
			if c.half[next].loop < 0 && turn > sharpest || next == start && turn >= sharpest {
				best, sharpest = next, turn
			}
		}
		if best < 0 {
			break
		}
		at = best
	}
	c.loops = append(c.loops, ring)
}

// faces sorts the loops into faces and the openings in them, and tells each
// piece its two faces.
func (c *cutter) faces(b Blank) Cut {
	out := Cut{Pieces: c.pieces}
	number := make([]int, len(c.loops)) // of the face a loop bounds, -1 for none
	for i, ring := range c.loops {
		number[i] = -1
		if ring.Area() > 0 {
			number[i] = len(out.Faces)
			out.Faces = append(out.Faces, Face{Outline: ring})
		}
	}
	for _, h := range c.half {
		if h.piece < 0 {
			continue
		}
		side := 1
		if h.forward {
			side = 0
		}
		out.Pieces[h.piece].Faces[side] = number[h.loop]
	}
	for _, p := range out.Pieces {
		if p.Faces[0] == p.Faces[1] || p.Faces[0] < 0 || p.Faces[1] < 0 {
			c.refuse("the bend line from (%.2f, %.2f) to (%.2f, %.2f) does not part the sheet: one can go round it; draw it on to the next "+
				"edge, or cut the sheet there", p.Line[0].X, p.Line[0].Y, p.Line[1].X, p.Line[1].Y)
		}
	}
	c.openings(b, &out)
	return out
}

// openings puts each opening that no bend touches into its face.
func (c *cutter) openings(b Blank, out *Cut) {
	at := len(b.Outline)
	for i, o := range b.Openings {
		free := true
		for k := range o {
			free = free && len(c.stops[at+k]) == 0
		}
		at += len(o)
		if !free {
			continue
		}
		for f := range out.Faces {
			if out.Faces[f].Outline.Holds(o[0]) {
				out.Faces[f].Openings = append(out.Faces[f].Openings, i)
				break
			}
		}
	}
}
