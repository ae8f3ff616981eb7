package geom

import "math"

// Apart gives the distance between two convex polygons in the plane, or zero
// when they touch or overlap. Either may be a single edge or a point.
//
// The nearest points of two separate convex polygons include a corner of one
// of them, so all corners against all edges both ways find it.
func Apart(a, b Polygon) float64 {
	if overlap(a, b) {
		return 0
	}
	return math.Sqrt(math.Min(cornersToEdges(a, b), cornersToEdges(b, a)))
}

// cornersToEdges gives the least squared distance from the corners of a to the
// edges of b.
func cornersToEdges(a, b Polygon) float64 {
	least := math.Inf(1)
	for i, p := range b {
		q := b[(i+1)%len(b)]
		edge := q.Sub(p)
		long := edge.Dot(edge)
		for _, c := range a {
			v := c.Sub(p)
			if long > 0 {
				v = v.Sub(edge.Times(math.Min(1, math.Max(0, v.Dot(edge)/long))))
			}
			least = math.Min(least, v.Dot(v))
		}
	}
	return least
}

// overlap reports whether no edge of either separates the two; touching counts
// as overlapping.
func overlap(a, b Polygon) bool { return !separates(a, b) && !separates(b, a) }

// separates reports whether all of b lies outside one edge of a.
func separates(a, b Polygon) bool {
	for i, p := range a {
		out := a[(i+1)%len(a)].Sub(p).Left().Times(-1)
		outside := true
		for _, c := range b {
			if out.Dot(c.Sub(p)) <= 0 {
				outside = false
				break
			}
		}
		if outside && out != (Point2{}) {
			return true
		}
	}
	return len(a) < 3 && apartOnAxes(a, b)
}

// apartOnAxes handles points and edges, which have no outside of their own:
// the boxes around them lie apart.
func apartOnAxes(a, b Polygon) bool {
	if len(a) == 0 || len(b) == 0 {
		return true
	}
	lowA, highA := Bounds(a...)
	lowB, highB := Bounds(b...)
	return lowA.X > highB.X || lowB.X > highA.X || lowA.Y > highB.Y || lowB.Y > highA.Y
}
