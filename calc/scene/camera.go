package scene

import (
	"math"

	"brakeside/calc/geom"
)

// camera is a side from which a scene is seen. Right, up and away are directions of
// the scene: to the right and up on the page, and away from the viewer.
type camera struct {
	right, up, away geom.Point3
	shrunk          float64 // by which x is shortened; 0: it is not
}

// sides are the eight isometric views that stand the part on its largest face
// or on the other side of it: x to the right and up, y to the left and up, and so
// on by quarter turns.
func sides() []camera {
	sin, cos := math.Sin(math.Pi/6), math.Cos(math.Pi/6)
	flatten := math.Sqrt(2. / 3) // by what an isometric view shortens all three axes
	first := camera{
		right: geom.Point3{X: cos, Y: -cos}.Times(flatten),
		up:    geom.Point3{X: sin, Y: sin, Z: 1}.Times(flatten),
		away:  geom.Point3{X: 1, Y: 1, Z: -1}.Times(1 / math.Sqrt(3)),
	}
	var out []camera
	for _, over := range []bool{false, true} {
		for quarter := range 4 {
			s := first
			for _, v := range []*geom.Point3{&s.right, &s.up, &s.away} {
				for range quarter {
					*v = geom.Point3{X: -v.Y, Y: v.X, Z: v.Z}
				}
				if over { // turned over about x
					*v = geom.Point3{X: v.X, Y: -v.Y, Z: -v.Z}
				}
			}
			out = append(out, s)
		}
	}
	return out
}

// The side from which the brake is seen: over the operator's right shoulder, so high
// that a flap half bent up is not seen edge on and a bar hides little of what lies
// behind it. The operator stands at the lower left of the picture.
const (
	turnedRight = math.Pi / 6
	raised      = math.Pi / 3
)

// shoulder is the camera over the operator's right shoulder: x of the scene runs
// along the brake, y away from the operator, z up.
func shoulder() camera {
	sinT, cosT := math.Sincos(turnedRight)
	sinR, cosR := math.Sincos(raised)
	return camera{
		right: geom.Point3{X: cosT, Y: sinT},
		up:    geom.Point3{X: -sinR * sinT, Y: sinR * cosT, Z: cosR},
		away:  geom.Point3{X: -cosR * sinT, Y: cosR * cosT, Z: -sinR},
	}
}

// above is the camera that looks straight down, the operator at the lower edge.
func above() camera {
	return camera{right: geom.Point3{X: 1}, up: geom.Point3{Y: 1}, away: geom.Point3{Z: -1}}
}

// squeezed is the same side of a scene that is shortened along x.
func (s camera) squeezed(by float64) camera {
	s.right.X, s.up.X, s.away.X, s.shrunk = s.right.X*by, s.up.X*by, s.away.X*by, by
	return s
}

// faces tells whether a surface with that normal shows itself to the viewer, above
// zero, or its back.
func (s camera) faces(normal geom.Point3) float64 {
	away := s.away
	if s.shrunk > 0 { // what shortens a surface leans its normal the other way
		away.X /= s.shrunk * s.shrunk
	}
	return -away.Dot(normal)
}

// see gives where a place lies on the page, y up, and how far away it is.
func (s camera) see(p geom.Point3) (geom.Point2, float64) {
	return geom.Point2{X: s.right.Dot(p), Y: s.up.Dot(p)}, s.away.Dot(p)
}
