package geom

// Holds reports whether a point lies in the polygon, which need not be convex
// and may run either way round. On an edge, to within a rounding, either answer
// may come.
func (g Polygon) Holds(p Point2) bool {
	in := false
	q := g[len(g)-1]
	for _, r := range g {
		if (q.Y > p.Y) != (r.Y > p.Y) && p.X < q.X+(r.X-q.X)*(p.Y-q.Y)/(r.Y-q.Y) {
			in = !in
		}
		q = r
	}
	return in
}
