package geom

import "math"

// Separation gives the distance between the convex bodies spanned by two sets
// of corners, or zero when they touch or overlap. The answer is never larger
// than the true distance by more than 1e-6 mm: where the iteration ends early
// the proven lower bound is returned, so that doubt is on the near side.
//
// The method is that of Gilbert, Johnson and Keerthi (IEEE Journal of Robotics
// and Automation 4(2), 1988): walk a simplex of differences of corners towards
// the origin.
func Separation(a, b []Point3) float64 {
	v := a[0].Sub(b[0])
	var simplex [4]Point3
	count := 0
	bound := 0.0
	for round := 0; round < 64; round++ {
		length := v.Length()
		if length < 1e-9 {
			return 0
		}
		w := support(a, v.Times(-1)).Sub(support(b, v))
		if below := v.Dot(w) / length; below > bound {
			bound = below
		}
		if length-bound <= 1e-6 || seen(simplex[:count], w) {
			return bound
		}
		simplex[count] = w
		count++
		v, count = nearest(&simplex, count)
		if count == 4 {
			return 0
		}
	}
	return bound
}

// support gives the corner that lies farthest in a direction.
func support(points []Point3, direction Point3) Point3 {
	best, far := points[0], points[0].Dot(direction)
	for _, p := range points[1:] {
		if d := p.Dot(direction); d > far {
			best, far = p, d
		}
	}
	return best
}

func seen(simplex []Point3, w Point3) bool {
	for _, s := range simplex {
		if s == w {
			return true
		}
	}
	return false
}

// nearest gives the point of the simplex that is nearest to the origin and
// keeps only the corners that hold it. Four corners kept mean that the origin
// is inside.
//
// With at most four corners all sub-simplices can simply be tried: the nearest
// point is the nearest of those whose foot lies within their own corners.
func nearest(simplex *[4]Point3, count int) (Point3, int) {
	best, bestMask, bestLength := Point3{}, 0, math.Inf(1)
	for mask := 1; mask < 1<<count; mask++ {
		p, ok := foot(simplex, mask)
		if length := p.Dot(p); ok && length < bestLength {
			best, bestMask, bestLength = p, mask, length
		}
	}
	kept := 0
	for i := 0; i < count; i++ {
		if bestMask&(1<<i) != 0 {
			simplex[kept] = simplex[i]
			kept++
		}
	}
	return best, kept
}

// foot gives the foot of the origin on the point, line, plane or space through
// the corners of the mask, if it lies between them.
func foot(simplex *[4]Point3, mask int) (Point3, bool) {
	var c [4]Point3
	n := 0
	for i := range simplex {
		if mask&(1<<i) != 0 {
			c[n] = simplex[i]
			n++
		}
	}
	switch n {
	case 1:
		return c[0], true
	case 2:
		return footOnLine(c[0], c[1])
	case 3:
		return footOnPlane(c[0], c[1], c[2])
	}
	return Point3{}, inside(c)
}

func footOnLine(a, b Point3) (Point3, bool) {
	ab := b.Sub(a)
	long := ab.Dot(ab)
	if long == 0 {
		return a, false
	}
	t := -a.Dot(ab) / long
	return a.Add(ab.Times(t)), t >= 0 && t <= 1
}

func footOnPlane(a, b, c Point3) (Point3, bool) {
	normal := b.Sub(a).Cross(c.Sub(a))
	long := normal.Dot(normal)
	if long < 1e-18 {
		return a, false
	}
	p := normal.Times(a.Dot(normal) / long)
	within := b.Sub(a).Cross(p.Sub(a)).Dot(normal) >= 0 &&
		c.Sub(b).Cross(p.Sub(b)).Dot(normal) >= 0 &&
		a.Sub(c).Cross(p.Sub(c)).Dot(normal) >= 0
	return p, within
}

// inside reports whether the origin lies in the tetrahedron: it is on the same
// side of each face as the fourth corner.
func inside(c [4]Point3) bool {
	for i := range c {
		a, b, d, top := c[(i+1)%4], c[(i+2)%4], c[(i+3)%4], c[i]
		normal := b.Sub(a).Cross(d.Sub(a))
		mine, origin := normal.Dot(top.Sub(a)), -normal.Dot(a)
		if mine*origin < 0 || mine == 0 {
			return false
		}
	}
	return true
}
