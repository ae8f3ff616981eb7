package geom

import "math"

// Point3 is a place in space.
type Point3 struct{ X, Y, Z float64 }

// Add gives the sum of two vectors.
func (p Point3) Add(q Point3) Point3 { return Point3{p.X + q.X, p.Y + q.Y, p.Z + q.Z} }

// Sub gives the vector from q to p.
func (p Point3) Sub(q Point3) Point3 { return Point3{p.X - q.X, p.Y - q.Y, p.Z - q.Z} }

// Times gives the vector k times as long.
func (p Point3) Times(k float64) Point3 { return Point3{p.X * k, p.Y * k, p.Z * k} }

// Dot gives the scalar product.
func (p Point3) Dot(q Point3) float64 { return p.X*q.X + p.Y*q.Y + p.Z*q.Z }

// Cross gives the vector product.
func (p Point3) Cross(q Point3) Point3 {
	return Point3{p.Y*q.Z - p.Z*q.Y, p.Z*q.X - p.X*q.Z, p.X*q.Y - p.Y*q.X}
}

// Length gives the length of the vector.
func (p Point3) Length() float64 { return math.Sqrt(p.Dot(p)) }

// Frame is a rigid placement: where the axes and the origin of one body lie in
// the space of another.
type Frame struct {
	X, Y, Z Point3 // directions of the body's axes, each of length 1
	Origin  Point3
}

// Fixed is the placement that changes nothing.
var Fixed = Frame{X: Point3{1, 0, 0}, Y: Point3{0, 1, 0}, Z: Point3{0, 0, 1}}

// Place gives where a point of the body lies.
func (f Frame) Place(p Point3) Point3 { return f.Turn(p).Add(f.Origin) }

// Turn gives where a direction of the body points.
func (f Frame) Turn(p Point3) Point3 {
	return f.X.Times(p.X).Add(f.Y.Times(p.Y)).Add(f.Z.Times(p.Z))
}

// Then gives the placement that first places by f and then by g.
//
//	f.Then(g).Place(p) == g.Place(f.Place(p))
func (f Frame) Then(g Frame) Frame {
	return Frame{g.Turn(f.X), g.Turn(f.Y), g.Turn(f.Z), g.Place(f.Origin)}
}

// Inverse gives the placement that undoes f.
func (f Frame) Inverse() Frame {
	g := Frame{
		X: Point3{f.X.X, f.Y.X, f.Z.X},
		Y: Point3{f.X.Y, f.Y.Y, f.Z.Y},
		Z: Point3{f.X.Z, f.Y.Z, f.Z.Z},
	}
	g.Origin = g.Turn(f.Origin).Times(-1)
	return g
}

// Shift is the placement that only moves.
func Shift(by Point3) Frame {
	f := Fixed
	f.Origin = by
	return f
}

// Rotation is the placement that turns about a line through a point, by the
// right-hand rule; the direction must have length 1.
func Rotation(through, direction Point3, radians float64) Frame {
	sin, cos := math.Sincos(radians)
	turn := func(v Point3) Point3 { // Rodrigues' formula
		return v.Times(cos).Add(direction.Cross(v).Times(sin)).Add(direction.Times(direction.Dot(v) * (1 - cos)))
	}
	f := Frame{X: turn(Fixed.X), Y: turn(Fixed.Y), Z: turn(Fixed.Z)}
	f.Origin = through.Sub(f.Turn(through))
	return f
}

// Prism gives the corners of a flat plate: the polygon from bottom to top.
func Prism(g Polygon, bottom, top float64) []Point3 {
	out := make([]Point3, 0, 2*len(g))
	for _, p := range g {
		out = append(out, Point3{p.X, p.Y, bottom})
	}
	for _, p := range g {
		out = append(out, Point3{p.X, p.Y, top})
	}
	return out
}

// Placed gives the points where the frame puts them.
func Placed(points []Point3, f Frame) []Point3 {
	return AppendPlaced(make([]Point3, 0, len(points)), points, f)
}

// AppendPlaced adds the points where the frame puts them.
func AppendPlaced(to, points []Point3, f Frame) []Point3 {
	for _, p := range points {
		to = append(to, f.Place(p))
	}
	return to
}

// Span gives the least and the greatest of a coordinate over the points.
func Span(points []Point3, coordinate func(Point3) float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range points {
		v := coordinate(p)
		low, high = min(low, v), max(high, v)
	}
	return low, high
}
