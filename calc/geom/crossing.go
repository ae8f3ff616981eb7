package geom

import (
	"math"
	"slices"
)

// Crossing finds two edges of the polygon that meet though they are no
// neighbours, by the numbers of the corners they begin at. Edges are compared
// only where their spans along x overlap.
func (g Polygon) Crossing() (i, j int, found bool) {
	n := len(g)
	order := g.byLeftEnd()
	for a, i := range order {
		high := math.Max(g[i].X, g[(i+1)%n].X)
		for _, j := range order[a+1:] {
			if math.Min(g[j].X, g[(j+1)%n].X) > high {
				break
			}
			if next := (i+1)%n == j || (j+1)%n == i; !next && Meet(g[i], g[(i+1)%n], g[j], g[(j+1)%n]) {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// byLeftEnd lists the edges by the x of their left ends.
func (g Polygon) byLeftEnd() []int {
	order := make([]int, len(g))
	left := make([]float64, len(g))
	for i, p := range g {
		order[i], left[i] = i, math.Min(p.X, g[(i+1)%len(g)].X)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case left[a] < left[b]:
			return -1
		case left[a] > left[b]:
			return 1
		}
		return 0
	})
	return order
}

// Meets reports whether an edge of one ring meets an edge of the other, and the
// corner of g that the edge found begins at. Edges are compared only where their
// boxes meet.
func (g Polygon) Meets(other Polygon) (near Point2, meet bool) {
	low, high := Bounds(g...)
	for i, p := range other {
		q := other[(i+1)%len(other)]
		l, h := Bounds(p, q)
		if l.X > high.X || low.X > h.X || l.Y > high.Y || low.Y > h.Y {
			continue
		}
		for k, r := range g {
			if Meet(p, q, r, g[(k+1)%len(g)]) {
				return r, true
			}
		}
	}
	return Point2{}, false
}
