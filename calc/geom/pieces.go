package geom

// Pieces cuts a simple polygon into convex ones that cover it exactly. A
// convex polygon stays whole. It reports false when the corners do not bound a
// simple polygon.
func Pieces(g Polygon) ([]Polygon, bool) {
	g = g.Tidy()
	if len(g) < 3 {
		return nil, false
	}
	if g.Area() < 0 {
		g = g.Reversed()
	}
	if g.Convex() {
		return []Polygon{g}, true
	}
	c, ok := ears(g)
	if !ok {
		return nil, false
	}
	out := c.pieces[:0]
	for _, piece := range c.merge() {
		if piece = piece.Tidy(); len(piece) >= 3 {
			out = append(out, piece)
		}
	}
	return out, true
}

// Tidy is the polygon without corners that repeat or lie on a straight line, within
// Near.
func (g Polygon) Tidy() Polygon {
	for i := range g {
		if needless(g, i) {
			out := make(Polygon, 0, len(g))
			for k, p := range g {
				if !needless(g, k) {
					out = append(out, p)
				}
			}
			return out.Tidy() // one that was repeated may lie on a line now
		}
	}
	return g
}

// needless reports whether a corner repeats the one before it or lies on a
// straight line.
func needless(g Polygon, i int) bool {
	p, before, after := g[i], g[(i+len(g)-1)%len(g)], g[(i+1)%len(g)]
	in, on := p.Sub(before), after.Sub(p)
	if in.Dot(in) < Near*Near {
		return true
	}
	long, cross := on.Dot(on), on.Cross(in)
	return long >= Near*Near && cross*cross < Near*Near*long && on.Dot(in) > 0
}

// cuts is a polygon cut into triangles: the triangles, and the diagonals between
// them.
type cuts struct {
	pieces    []Polygon
	diagonals []diagonal
}

// diagonal is an edge that two triangles share, by number.
type diagonal struct {
	from, to Point2 // as it runs in the first of the two
	between  [2]int32
}

// ears cuts off one triangle after the other.
func ears(g Polygon) (cuts, bool) {
	rest := append(Polygon(nil), g...)
	behind := make([]int32, len(g)) // by corner, the triangle behind the edge that leaves it; 0 for none, else its number + 1
	c := cuts{make([]Polygon, 0, len(g)-2), make([]diagonal, 0, len(g)-3)}
	corners := make(Polygon, 0, 3*len(g)) // of all triangles
	add := func(a, b, c Point2) Polygon {
		n := len(corners)
		corners = append(corners, a, b, c)
		return corners[n : n+3 : n+3]
	}
	share := func(from, to Point2, other int32) {
		if other > 0 {
			c.diagonals = append(c.diagonals, diagonal{from, to, [2]int32{int32(len(c.pieces)), other - 1}})
		}
	}
	for i := 0; len(rest) > 3; {
		n := len(rest)
		if i = ear(rest, (i+n-1)%n); i < 0 { // cutting an ear off changes its neighbours most
			return cuts{}, false
		}
		before, after := (i+n-1)%n, (i+1)%n
		share(rest[before], rest[i], behind[before])
		share(rest[i], rest[after], behind[i])
		c.pieces = append(c.pieces, add(rest[before], rest[i], rest[after]))
		behind[before] = int32(len(c.pieces))
		rest, behind = append(rest[:i], rest[i+1:]...), append(behind[:i], behind[i+1:]...)
	}
	for k := range rest {
		share(rest[k], rest[(k+1)%3], behind[k])
	}
	c.pieces = append(c.pieces, add(rest[0], rest[1], rest[2]))
	return c, true
}

// ear finds a corner whose triangle holds no other corner, the first one from a
// corner on, or -1.
func ear(g Polygon, from int) int {
	n := len(g)
	for k := range g {
		i := (from + k) % n
		a, b, c := g[(i+n-1)%n], g[i], g[(i+1)%n]
		if b.Sub(a).Cross(c.Sub(b)) <= 0 {
			continue
		}
		empty := true
		for j, p := range g {
			if j == i || j == (i+n-1)%n || j == (i+1)%n || p == a || p == b || p == c {
				continue
			}
			if b.Sub(a).Cross(p.Sub(a)) >= 0 && c.Sub(b).Cross(p.Sub(b)) >= 0 && a.Sub(c).Cross(p.Sub(c)) >= 0 {
				empty = false
				break
			}
		}
		if empty {
			return i
		}
	}
	return -1
}

// merge takes away every diagonal that the pieces on its sides stay convex
// without, which leaves at most four times the least possible number of pieces
// (Hertel and Mehlhorn, 1983).
func (c cuts) merge() []Polygon {
	in := make([]int32, len(c.pieces)) // by triangle, the piece it went into
	for i := range in {
		in[i] = int32(i)
	}
	piece := func(i int32) int32 {
		for in[i] != i {
			in[i] = in[in[i]]
			i = in[i]
		}
		return i
	}
	for _, d := range c.diagonals {
		a, b := piece(d.between[0]), piece(d.between[1])
		if joined, ok := d.without(c.pieces[a], c.pieces[b]); ok {
			c.pieces[a], c.pieces[b] = joined, nil
			in[b] = a
		}
	}
	out := c.pieces[:0]
	for _, g := range c.pieces {
		if g != nil {
			out = append(out, g)
		}
	}
	return out
}

// without joins the two pieces beside a diagonal, if the result is convex.
func (d diagonal) without(a, b Polygon) (Polygon, bool) {
	n, m := len(a), len(b)
	i, j := a.edge(d.from, d.to), b.edge(d.to, d.from)
	if i < 0 || j < 0 {
		return nil, false
	}
	// Only the two corners at the ends of the edge can turn to the right.
	if turns(a[(i+n-1)%n], a[i], b[(j+2)%m]) || turns(b[(j+m-1)%m], b[j], a[(i+2)%n]) {
		return nil, false
	}
	out := make(Polygon, 0, n+m-2)
	for k := 1; k <= n; k++ {
		out = append(out, a[(i+k)%n])
	}
	for k := 2; k < m; k++ {
		out = append(out, b[(j+k)%m])
	}
	return out, out.Convex()
}

// edge finds the edge from one corner to another, or -1.
func (g Polygon) edge(from, to Point2) int {
	for i, p := range g {
		if p == from && g[(i+1)%len(g)] == to {
			return i
		}
	}
	return -1
}

// turns reports whether the way over three corners turns to the right.
func turns(a, b, c Point2) bool { return b.Sub(a).Cross(c.Sub(b)) < -Near }

// Simple reports whether no two edges of the polygon cross or touch except
// neighbours at their common corner.
func (g Polygon) Simple() bool {
	n := len(g)
	for i := range g {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			if Meet(g[i], g[i+1], g[j], g[(j+1)%n]) {
				return false
			}
		}
	}
	return true
}

// Meet reports whether the edges from a to b and from c to d have a point in
// common.
func Meet(a, b, c, d Point2) bool {
	side := func(p, q, r Point2) float64 {
		v := q.Sub(p).Cross(r.Sub(p))
		if v > -1e-12 && v < 1e-12 {
			return 0
		}
		return v
	}
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if s1*s2 < 0 && s3*s4 < 0 {
		return true
	}
	on := func(p, q, r Point2, s float64) bool {
		return s == 0 && r.Sub(p).Dot(r.Sub(q)) <= 0
	}
	return on(a, b, c, s1) || on(a, b, d, s2) || on(c, d, a, s3) || on(c, d, b, s4)
}

// Inset moves every edge of a convex polygon inwards by a distance; the result
// is empty when nothing is left.
func (g Polygon) Inset(by float64) Polygon {
	out := g
	for i, p := range g {
		edge := g[(i+1)%len(g)].Sub(p)
		if edge.Length() < Near {
			continue
		}
		out = out.Clip(p.Add(edge.Unit().Left().Times(by)), edge)
		if out == nil {
			return nil
		}
	}
	return out
}
