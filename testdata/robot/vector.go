package robot

import "math"

// Point is a place or a direction in the plane of the blank or of the page.
type Point struct{ X, Y float64 }

func (p Point) to(q Point) Point      { return Point{q.X - p.X, q.Y - p.Y} }
func (p Point) plus(q Point) Point    { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) times(s float64) Point { return Point{p.X * s, p.Y * s} }
func (p Point) dot(q Point) float64   { return p.X*q.X + p.Y*q.Y }
func (p Point) cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }
func (p Point) length() float64       { return math.Hypot(p.X, p.Y) }
func (p Point) unit() Point           { return p.times(1 / p.length()) }
func (p Point) left() Point           { return Point{-p.Y, p.X} }
func (p Point) half(q Point) Point    { return Point{(p.X + q.X) / 2, (p.Y + q.Y) / 2} }
func (p Point) parallel(q Point) bool { return math.Abs(p.unit().cross(q.unit())) < 0.02 }
func (p Point) toSegment(a, b Point) float64 {
	along := a.to(b)
	share := math.Max(0, math.Min(1, a.to(p).dot(along)/along.dot(along)))
	return p.to(a.plus(along.times(share))).length()
}

// turn is a linear map of the plane: how directions of the blank lie on the
// brake, the operator's right and away from him.
type turn struct{ x, y Point } // rows

// asDrawn is the blank lying as it is drawn.
var asDrawn = turn{Point{1, 0}, Point{0, 1}}

func (m turn) of(p Point) Point { return Point{m.x.dot(p), m.y.dot(p)} }

// after is the map that does m first and then n.
func (m turn) after(n turn) turn {
	return turn{
		m.x.times(n.x.X).plus(m.y.times(n.x.Y)),
		m.x.times(n.y.X).plus(m.y.times(n.y.Y)),
	}
}

// faceUp is the face that looks up: seen from behind, left and right are
// exchanged.
func (m turn) faceUp() string {
	if m.x.cross(m.y) < 0 {
		return "B"
	}
	return "A"
}

// rotation turns anticlockwise as seen from above.
func rotation(degrees float64) turn {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return turn{Point{cos, -sin}, Point{sin, cos}}
}

// flip turns over about a line that runs in a direction on the brake.
func flip(u Point) turn {
	u = u.unit()
	return turn{Point{2*u.X*u.X - 1, 2 * u.X * u.Y}, Point{2 * u.X * u.Y, 2*u.Y*u.Y - 1}}
}

// space is a place or a direction in space.
type space struct{ x, y, z float64 }

func (a space) plus(b space) space    { return space{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a space) times(s float64) space { return space{a.x * s, a.y * s, a.z * s} }
func (a space) dot(b space) float64   { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a space) cross(b space) space {
	return space{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

// pose is where a stiff body went: the images of the three axes and the origin.
type pose struct{ x, y, z, o space }

var still = pose{x: space{x: 1}, y: space{y: 1}, z: space{z: 1}}

func (f pose) turned(v space) space { return f.x.times(v.x).plus(f.y.times(v.y)).plus(f.z.times(v.z)) }
func (f pose) at(v space) space     { return f.turned(v).plus(f.o) }

// within is where a body goes that moves by f inside another that moves by g.
func (f pose) within(g pose) pose {
	return pose{g.turned(f.x), g.turned(f.y), g.turned(f.z), g.at(f.o)}
}

// about turns a body round an axis through a place, by the right hand.
func about(place, axis space, degrees float64) pose {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	spin := func(v space) space { // Rodrigues' rotation formula
		return v.times(cos).plus(axis.cross(v).times(sin)).plus(axis.times(axis.dot(v) * (1 - cos)))
	}
	out := pose{x: spin(still.x), y: spin(still.y), z: spin(still.z)}
	out.o = place.plus(spin(place).times(-1))
	return out
}
