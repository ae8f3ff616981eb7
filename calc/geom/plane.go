// Package geom holds points, polygons and rigid placements, and the questions
// about them that must not be answered wrongly.
//
// All lengths are millimetres and all angles here are radians: this is the one
// package that speaks plain numbers. Polygons run anticlockwise.
package geom

import (
	"math"
	"slices"
)

// Near is the distance below which two points of a drawing are one: far below
// what any shop can cut, far above rounding.
const Near = 1e-6

// Point2 is a place in a plane.
type Point2 struct{ X, Y float64 }

// Add gives the sum of two vectors.
func (p Point2) Add(q Point2) Point2 { return Point2{p.X + q.X, p.Y + q.Y} }

// Sub gives the vector from q to p.
func (p Point2) Sub(q Point2) Point2 { return Point2{p.X - q.X, p.Y - q.Y} }

// Times gives the vector k times as long.
func (p Point2) Times(k float64) Point2 { return Point2{p.X * k, p.Y * k} }

// Dot gives the scalar product.
func (p Point2) Dot(q Point2) float64 { return p.X*q.X + p.Y*q.Y }

// Cross gives the z of the vector product: above zero when q lies to the left
// of p.
func (p Point2) Cross(q Point2) float64 { return p.X*q.Y - p.Y*q.X }

// Length gives the length of the vector.
func (p Point2) Length() float64 { return math.Sqrt(p.Dot(p)) }

// Unit gives the vector of length 1 in the same direction; p must not be zero.
func (p Point2) Unit() Point2 { return p.Times(1 / p.Length()) }

// Left gives the vector turned by a right angle to the left.
func (p Point2) Left() Point2 { return Point2{-p.Y, p.X} }

// Turned gives the vector turned anticlockwise.
func (p Point2) Turned(radians float64) Point2 {
	sin, cos := math.Sincos(radians)
	return Point2{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos}
}

// Polygon is a row of corners; the last joins the first.
type Polygon []Point2

// Area gives the signed area: above zero when the corners run anticlockwise.
func (g Polygon) Area() float64 {
	sum := 0.0
	for i, p := range g {
		sum += p.Cross(g[(i+1)%len(g)])
	}
	return sum / 2
}

// Centroid gives the centre of mass of the polygon, which must have an area.
func (g Polygon) Centroid() Point2 {
	var sum Point2
	for i, p := range g {
		q := g[(i+1)%len(g)]
		sum = sum.Add(p.Add(q).Times(p.Cross(q)))
	}
	return sum.Times(1 / (6 * g.Area()))
}

// Bounds gives the lower left and upper right corner of the box around points.
func Bounds(points ...Point2) (low, high Point2) {
	low, high = Point2{math.Inf(1), math.Inf(1)}, Point2{math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		low = Point2{min(low.X, p.X), min(low.Y, p.Y)}
		high = Point2{max(high.X, p.X), max(high.Y, p.Y)}
	}
	return low, high
}

// Reversed gives the polygon with its corners in the other order.
func (g Polygon) Reversed() Polygon {
	out := make(Polygon, len(g))
	for i, p := range g {
		out[len(g)-1-i] = p
	}
	return out
}

// Convex reports whether no corner turns to the right.
func (g Polygon) Convex() bool {
	n := len(g)
	for i := range g {
		a, b, c := g[i], g[(i+1)%n], g[(i+2)%n]
		if b.Sub(a).Cross(c.Sub(b)) < -Near {
			return false
		}
	}
	return true
}

// Clip keeps what lies on the left of the line through from in the direction
// along, or on it. The polygon must be convex; the result may be empty, and it is
// the polygon itself where nothing is cut off.
func (g Polygon) Clip(from, along Point2) Polygon {
	var few [16]float64
	sides, cut := few[:0], false
	nothing := -rounding * (math.Abs(along.X) + math.Abs(along.Y))
	for _, p := range g {
		side := along.Cross(p.Sub(from))
		sides, cut = append(sides, side), cut || side < nothing
	}
	if cut {
		return g.kept(sides)
	}
	if len(g) < 3 || g.Area() < Near {
		return nil
	}
	return g
}

// rounding is how far arithmetic may put a corner beside the line that it lies
// on, in millimetres.
const rounding = 1e-10

// kept gives what lies on the side of a line where the distances are not below
// zero; nil where that has no area.
func (g Polygon) kept(sides []float64) Polygon {
	var few [16]Point2
	out := Polygon(few[:0])
	for i, p := range g {
		k := (i + 1) % len(g)
		a, b := sides[i], sides[k]
		if a >= 0 {
			out = append(out, p)
		}
		if (a > 0 && b < 0) || (a < 0 && b > 0) {
			out = append(out, p.Add(g[k].Sub(p).Times(a/(a-b))))
		}
	}
	if len(out) < 3 || out.Area() < Near {
		return nil
	}
	return slices.Clone(out)
}

// Hull gives the convex polygon around the points, anticlockwise.
func Hull(points []Point2) Polygon {
	var few [32]Point2
	sorted := append(few[:0], points...)
	sortPoints(sorted)
	if len(sorted) < 3 {
		return slices.Clone(sorted)
	}
	// Along the lower side and back along the upper one; a point that does not
	// turn to the left lies inside. The first of the upper side is the last of the
	// lower one, which stays.
	hull := make(Polygon, 0, len(sorted)+1)
	turn := func(p Point2, least int) {
		for n := len(hull); n > least && hull[n-1].Sub(hull[n-2]).Cross(p.Sub(hull[n-1])) <= 0; n-- {
			hull = hull[:n-1]
		}
		hull = append(hull, p)
	}
	for _, p := range sorted {
		turn(p, 1)
	}
	lower := len(hull)
	for _, p := range slices.Backward(sorted[:len(sorted)-1]) {
		turn(p, lower)
	}
	return hull[:len(hull)-1]
}

// Swept is what a convex polygon covers when it is moved along a straight line:
// the edges that look ahead are found at the end, those that look back at the
// beginning.
func (g Polygon) Swept(by Point2) Polygon { return g.SweptInto(make(Polygon, 0, len(g)+2), by) }

// SweptInto is Swept with room to put the result in; what the room holds is lost.
func (g Polygon) SweptInto(room Polygon, by Point2) Polygon {
	n, out := len(g), room[:0]
	ahead := func(i int) bool { return by.Cross(g[(i+1)%n].Sub(g[i%n])) > 0 }
	for i, p := range g {
		before, after := ahead(i+n-1), ahead(i)
		if !before || !after {
			out = append(out, p)
		}
		if before || after {
			out = append(out, p.Add(by))
		}
		if before && !after {
			out[len(out)-1], out[len(out)-2] = out[len(out)-2], out[len(out)-1]
		}
	}
	return out
}

// SumInto is where the sum of a point of each of two convex polygons may lie (their
// Minkowski sum), with room to put it in: their edges one after the other as they turn
// from the lowest corner.
func (g Polygon) SumInto(room Polygon, h Polygon) Polygon {
	out, i, j := room[:0], g.lowest(), h.lowest()
	for a, b := 0, 0; a < len(g) || b < len(h); {
		p, q := g[(i+a)%len(g)], h[(j+b)%len(h)]
		out = append(out, p.Add(q))
		turn := g[(i+a+1)%len(g)].Sub(p).Cross(h[(j+b+1)%len(h)].Sub(q))
		if b == len(h) || a < len(g) && turn >= 0 {
			a++
		} else {
			b++
		}
	}
	return out
}

// lowest is the number of the lowest corner, of several the most to the left.
func (g Polygon) lowest() int {
	low := 0
	for i, p := range g {
		if p.Y < g[low].Y || p.Y == g[low].Y && p.X < g[low].X {
			low = i
		}
	}
	return low
}

// sortPoints sorts a short list by x, then by y.
func sortPoints(points []Point2) {
	for i := 1; i < len(points); i++ {
		for j := i; j > 0 && before(points[j], points[j-1]); j-- {
			points[j], points[j-1] = points[j-1], points[j]
		}
	}
}

func before(p, q Point2) bool { return p.X < q.X || (p.X == q.X && p.Y < q.Y) }
