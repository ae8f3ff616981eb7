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
	toB, _ := cornersToEdges(a, b)
	toA, _ := cornersToEdges(b, a)
	return math.Sqrt(min(toB, toA))
}

// Parting gives the distance between two convex polygons and the unit vector
// from a to b along it: a line square to it separates the two. When they touch
// or overlap both are zero.
func Parting(a, b Polygon) (distance float64, towards Point2) {
	if overlap(a, b) {
		return 0, Point2{}
	}
	least, away := cornersToEdges(a, b)
	towards = away.Times(-1)
	if other, way := cornersToEdges(b, a); other < least {
		least, towards = other, way
	}
	distance = math.Sqrt(least)
	if distance == 0 {
		return 0, Point2{}
	}
	return distance, towards.Times(1 / distance)
}

// cornersToEdges gives the least squared distance from the corners of a to the
// edges of b, and the way there from the edge. The polygons lie apart. An edge
// that a corner is on the inner side of is passed over: another is nearer to it.
func cornersToEdges(a, b Polygon) (least float64, away Point2) {
	least = math.Inf(1)
	p := b[len(b)-1]
	for _, q := range b {
		edgeX, edgeY := q.X-p.X, q.Y-p.Y
		scale := 0.0
		if long := edgeX*edgeX + edgeY*edgeY; long > 0 {
			scale = 1 / long
		}
		for _, c := range a {
			vx, vy := c.X-p.X, c.Y-p.Y
			if edgeX*vy-edgeY*vx > 0 {
				continue
			}
			if t := (vx*edgeX + vy*edgeY) * scale; t >= 1 {
				vx, vy = vx-edgeX, vy-edgeY
			} else if t > 0 {
				vx, vy = vx-t*edgeX, vy-t*edgeY
			}
			if d := vx*vx + vy*vy; d < least {
				least, away = d, Point2{vx, vy}
			}
		}
		p = q
	}
	return least, away
}

// overlap reports whether no edge of either separates the two; touching counts
// as overlapping.
func overlap(a, b Polygon) bool { return !separates(a, b) && !separates(b, a) }

// separates reports whether all of b lies outside one edge of a.
func separates(a, b Polygon) bool {
	p := a[len(a)-1]
	for _, q := range a {
		outX, outY := q.Y-p.Y, p.X-q.X
		outside := outX != 0 || outY != 0
		for _, c := range b {
			if outX*(c.X-p.X)+outY*(c.Y-p.Y) <= 0 {
				outside = false
				break
			}
		}
		if outside {
			return true
		}
		p = q
	}
	return len(a) < 3 && apartOnAxes(a, b)
}

// apartOnAxes handles points and edges, which have no outside of their own:
// the boxes around them lie apart.
func apartOnAxes(a, b Polygon) bool { return BoxAround(a...).Gap(BoxAround(b...)) > 0 }

// Box is an upright box in the plane.
type Box struct{ Low, High Point2 }

// BoxAround gives the box around points.
func BoxAround(points ...Point2) Box {
	low, high := Bounds(points...)
	return Box{low, high}
}

// With is the box with one more point in it.
func (b Box) With(p Point2) Box {
	return Box{Point2{min(b.Low.X, p.X), min(b.Low.Y, p.Y)}, Point2{max(b.High.X, p.X), max(b.High.Y, p.Y)}}
}

// Gap is how far two boxes are apart along the axis on which they are farthest
// apart; below zero where they overlap. What lies in them is never nearer.
func (b Box) Gap(o Box) float64 {
	return max(b.Low.X-o.High.X, o.Low.X-b.High.X, b.Low.Y-o.High.Y, o.Low.Y-b.High.Y)
}

// Sunk gives how far two convex polygons overlap: the shortest move that would
// part them. It is zero when they do not overlap.
func Sunk(a, b Polygon) float64 { return max(0, min(sunkPast(a, b), sunkPast(b, a))) }

// sunkPast is the least depth to which b reaches past an edge of a.
func sunkPast(a, b Polygon) float64 {
	least := math.Inf(1)
	for i, p := range a {
		out := a[(i+1)%len(a)].Sub(p).Left().Times(-1)
		long := out.Length()
		if long == 0 {
			continue
		}
		deepest := math.Inf(-1)
		for _, c := range b {
			deepest = max(deepest, -out.Dot(c.Sub(p))/long)
		}
		least = min(least, deepest)
	}
	return least
}
